package instrument

// headingWords say what a column holds, each alone or among others, in small
// letters without accents; the first row that fits counts: "red side (kgf)" is red colour,
// "firmness red side" firmness. After the English ones stand German, French, Spanish and Italian ones.
var headingWords = []struct {
	kind  kind
	words []string
}{
	// What is worked out from the others.
	{unknown, []string{"mean", "average", "avg", "median", "sd",
		"mittel", "mittelwert", "durchschnitt", "moyenne", "mediane", "media", "promedio", "mediana"}},
	{noteColumn, []string{"note", "notes", "remark", "remarks", "comment", "comments",
		"bemerkung", "bemerkungen", "notiz", "notizen", "anmerkung", "anmerkungen", "kommentar",
		"remarque", "remarques", "commentaire", "commentaires", "observation", "observations",
		"nota", "notas", "observacion", "observaciones", "comentario", "comentarios",
		"osservazione", "osservazioni", "commento", "commenti"}},
	{unitColumn, []string{"unit", "units", "einheit", "unite", "unites", "unidad", "unidades", "unita"}},
	{tipColumn, []string{"tip", "plunger", "stempel", "messspitze", "embout", "embolo", "punta", "puntale"}},
	{warmthColumn, []string{"temp", "temperature", "temperatur", "safttemperatur", "temperatura"}},
	{sideColumn, []string{"firmness", "firm", "pressure", "penetrometer", "f1", "f2",
		"festigkeit", "fleischfestigkeit", "fruchtfleischfestigkeit", "druck",
		"fermete", "pression", "penetrometre",
		"firmeza", "dureza", "presion", "penetrometro", "presionometro",
		"durezza", "consistenza", "pressione"}},
	{brixColumn, []string{"brix", "ssc", "tss", "soluble", "solids", "sugar", "sugars", "refractometer",
		"zucker", "zuckergehalt", "trockensubstanz", "refraktometer", "losliche",
		"sucre", "sucres", "refractometre", "solubles",
		"azucar", "azucares", "solidos", "refractometro",
		"zucchero", "zuccheri", "solidi", "solubili", "rifrattometro", "rsr"}},
	{groundColumn, []string{"ground", "background", "grundfarbe", "fond", "fondo", "sfondo"}},
	{redColumn, []string{"red", "blush", "overcolour", "overcolor",
		"rot", "rotanteil", "deckfarbe", "deckfarbenanteil", "rouge", "surcouleur", "coloration",
		"rojo", "roja", "sobrecolor", "cubrimiento", "rosso", "rossa", "sovraccolore"}},
	{sideColumn, []string{"side", "seite", "cote", "face", "lado", "cara", "lato", "faccia"}},
	{blockColumn, []string{"block", "parzelle", "quartier", "parcelle", "bloc", "cuartel", "bloque", "parcela", "blocco", "appezzamento", "parcella"}},
	{dayColumn, []string{"date", "day", "datum", "pflucktag", "erntetag", "jour", "fecha", "dia", "data", "giorno"}},
}

// fruitWords must make up the whole heading, but for joining words: a "fruit weight" is no number.
var fruitWords = []string{"fruit", "apple", "half", "no", "nr", "number", "#", "n",
	"frucht", "fruchtnr", "fruchtnummer", "apfel", "apfelnr", "nummer", "halfte",
	"pomme", "numero", "moitie", "demi", "fruto", "fruta", "manzana", "num", "mitad", "frutto", "mela", "meta"}

var joiningWords = []string{"of", "the", "der", "des", "du", "de", "la", "le", "el", "del", "della", "di"}

// colourWords beside a per cent sign mean red colour.
var colourWords = []string{"colour", "color", "farbe", "couleur", "colore"}
