package e2e

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tenoff/internal/bullpen"
	"tenoff/internal/ledger"
	"tenoff/internal/server/wire"
)

// atTheFieldToo types a bullpen of hers at the fence, without a film, and holds what the phone,
// the bullpen's page before and after a yes, the CSV and the JSON say of each throw against
// what was typed, and what is said of them together against the typed numbers.
func atTheFieldToo(t *testing.T, p *program, pitcherID string) {
	t.Helper()
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherID: pitcherID, Title: "Field"}, &pen)
	var link wire.MadeFieldLink
	p.must(t, http.MethodPost, "/api/field-links", wire.NewFieldLink{BullpenID: pen.ID}, &link)
	// At noon of the bullpen's day, whatever time it is: the phone lists those of one day.
	day, err := time.ParseInLocation(time.DateOnly, pen.Day, time.Local)
	if err != nil {
		t.Fatal(err)
	}
	var typed []atTheFence
	for i, read := range []string{"56", "46", "55", "45", "56", "44", "55", "45"} {
		pitch := bullpen.Fastball
		if i%2 == 1 {
			pitch = bullpen.ChangeUp
		}
		typed = append(typed, atTheFence{day.Add(12*time.Hour + time.Duration(20*i)*time.Second), read, pitch, callOf(i)})
	}
	names := map[bullpen.Pitch]string{bullpen.Fastball: "fastball", bullpen.ChangeUp: "change-up"}

	phone := open(t, 360, 740)
	phone.phone()
	phone.do(chromedp.Navigate(link.Link))
	phone.until(`document.querySelector(".fence")`)
	typeAtTheFence(phone, typed)
	phone.until(`document.querySelector(".fence .sent")?.innerText.includes("All sent")`)
	rows := eval[[]string](phone, `[...document.querySelectorAll(".typed-today li")].map((li) => li.value + ": " + li.textContent)`)
	if len(rows) != len(typed) {
		t.Fatalf("the phone lists %d of %d throws: %q", len(rows), len(typed), rows)
	}
	for i, e := range typed {
		of := reading{t, "the field page", plainText(rows[len(rows)-1-i])}
		of.says(fmt.Sprintf("throw %d", i+1), fmt.Sprintf("%d: %s mph, %s, %s", i+1, e.reading, names[e.pitch], e.call))
	}

	desk := open(t, 1280, 900)
	desk.do(chromedp.Navigate(p.url + "/bullpens/" + pen.ID))
	desk.push("Look at each")
	desk.until(fmt.Sprintf(`document.querySelectorAll(".each-reading tbody tr").length === %d`, len(typed)))
	rows = eval[[]string](desk, `[...document.querySelectorAll(".each-reading tbody th")].map((c) => c.textContent)`)
	for i, e := range typed {
		of := reading{t, "the readings from the field", plainText(rows[i])}
		of.says(fmt.Sprintf("throw %d", i+1), fmt.Sprintf("%s mph %s, %s", e.reading, names[e.pitch], e.call))
	}
	var look wire.FieldStanding
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID+"/field", nil, &look)
	yes := wire.FieldChoice{Revision: look.Revision}
	for _, l := range look.Outcomes[0].Lines {
		yes.Entries = append(yes.Entries, l.ID)
	}
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/field/join", yes, nil)

	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	var export ledger.Export
	get(t, p, "/api/bullpens/"+pen.ID+"/reps.json", func(b []byte) error { return json.Unmarshal(b, &export) })
	var lines [][]string
	get(t, p, "/api/bullpens/"+pen.ID+"/reps.csv", func(b []byte) (err error) {
		lines, err = csv.NewReader(strings.NewReader(strings.TrimPrefix(string(b), "\ufeff"))).ReadAll()
		return err
	})
	at := map[string]int{}
	for i, name := range lines[0] {
		at[name] = i
	}
	desk.until(fmt.Sprintf(`document.querySelectorAll(".ledger-table tbody tr").length === %d`, len(typed)))
	rows = eval[[]string](desk, `[...document.querySelectorAll(".ledger-table tbody tr")].map((r) => [...r.cells].map((c) => c.textContent).join(" "))`)
	var fast, slow float64
	for i, e := range typed {
		value, err := strconv.ParseFloat(e.reading, 64)
		if err != nil {
			t.Fatal(err)
		}
		if e.pitch == bullpen.Fastball {
			fast += value / 4
		} else {
			slow += value / 4
		}
		r, said := sheet.Reps[i], export.Bullpens[0].Reps[i]
		if r.Reading == nil || r.Reading.Value != value || r.Pitch != e.pitch || r.Call != e.call || said.Reading == nil || *said.Reading != value || said.Pitch != names[e.pitch] || said.Call != e.call {
			t.Errorf("throw %d is %+v, %s, %s in the sheet and %+v in the JSON; typed %+v", i+1, r.Reading, r.Pitch, r.Call, said, e)
		}
		cell := func(name string) string { return lines[i+1][at[name]] }
		if cell("reading") != e.reading || cell("unit") != "mph" || cell("pitch") != names[e.pitch] || cell("call") != string(e.call) {
			t.Errorf("throw %d is %q in the CSV; typed %+v", i+1, lines[i+1], e)
		}
		of := reading{t, "the ledger of a bullpen from the field", plainText(rows[i])}
		of.says(fmt.Sprintf("throw %d", i+1), e.reading+" mph")
		of.says(fmt.Sprintf("pitch of throw %d", i+1), names[e.pitch])
	}
	// Fastballs and change-ups in turn, so that the means' difference is the gap within what
	// she tired by.
	page := reading{t, "the page of a bullpen from the field", plainText(eval[string](desk, `document.querySelector("main").innerText`))}
	summed := false
	for _, s := range sheet.Summaries {
		if s.Pitch == bullpen.ChangeUp && s.MeanGap != nil {
			summed = true
			if gap := s.MeanGap.MPH; gap < fast-slow-0.5 || gap > fast-slow+0.5 {
				t.Errorf("the gap of what was typed at the fence is %.2f, of the means %.2f", gap, fast-slow)
			}
			page.says("gap", bullpen.Tenths(s.MeanGap.MPH)+" mph under")
		}
	}
	if !summed {
		t.Errorf("no gap of her change-ups: %+v", sheet.Summaries)
	}
	page.says("headline", sheet.Headline)
}
