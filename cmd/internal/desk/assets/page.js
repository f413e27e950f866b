// Small things that the scripts of all pages share.

const source = document.getElementById("texts");

// texts are the words of the page's language for what scripts show.
export const texts = source ? JSON.parse(source.textContent) : {};

// fill puts figures into the places of a sentence: "{n} wait".
export function fill(sentence, figures) {
  return sentence.replace(/\{(\w+)\}/g, (whole, name) => (name in figures ? figures[name] : whole));
}

// el makes an element; its children are elements or plain text, never markup.
export function el(tag, attributes, children) {
  const e = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes || {})) if (value !== "") e.setAttribute(key, value);
  for (const c of children || []) e.append(c);
  return e;
}

// number reads what was typed with a decimal point or comma; null when it is no number.
export function number(text) {
  const t = text.trim().replace(",", ".");
  return /^-?\d+(\.\d*)?$|^-?\.\d+$/.test(t) ? Number(t) : null;
}
