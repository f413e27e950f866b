// The key of a scanned code stands behind the # of the address, where no log sees it.
const form = document.querySelector("form[data-pair]");
if (location.hash.length > 1) {
  form.elements.key.value = decodeURIComponent(location.hash.slice(1));
  history.replaceState(null, "", location.pathname);
  form.elements.name.focus();
}
