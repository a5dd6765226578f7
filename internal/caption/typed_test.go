package caption

// typed is what people type, paste and try.
var typed = []struct {
	text  string
	drawn string // what of it is burned in; "" for all of it
}{
	{text: "flip drill"},
	{text: `{\fs200}big{\pos(0,0)}`},
	{text: `{\p1}m 0 0 l 100 0 100 100{\p0}`},
	{text: `back\Nslash \h \n \\ \`},
	{text: `}{ {{ }}`},
	{text: `quotes " ' “ ” and ; = : %{pts}`},
	{text: "two\nlines\r\nand\rmore", drawn: "two lines and more"},
	{text: "Dialogue: 0,0:00:00.00,0:00:09.00,bar,,0,0,0,,x"},
	{text: "<b>bold</b> & <c.red>x</c> &amp; &lt; --> y"},
	{text: "NOTE x STYLE WEBVTT 00:00.000 --> 00:09.000"},
	{text: "great 🔥👩‍👩‍👧 work 😀", drawn: "great work"},
	{text: "שלום עולם 12"},
	{text: "مرحبا بالعالم"},
	{text: "a\u202eb\u2066c\u200f", drawn: "abc"},
	{text: "é e\u0301 ł ő Жук ½ €", drawn: "é é ł ő Жук ½ €"},
	{text: "中文 hand", drawn: "hand"},
	{text: "W"},
}
