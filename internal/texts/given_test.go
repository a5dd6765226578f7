package texts

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

var verb = regexp.MustCompile(`%[.\d]*[a-z]`)

// formats are the texts of a package that a function f is called with, as argument at.
func formats(t *testing.T, folder string, f string, at int) []string {
	t.Helper()
	return formatsOf(t, folder+"/*.go", f, at)
}

// formatsOf are those of the files that match.
func formatsOf(t *testing.T, files string, f string, at int) []string {
	t.Helper()
	var out []string
	names, err := filepath.Glob(filepath.Join("..", files))
	if err != nil || len(names) == 0 {
		t.Fatalf("no files %s: %v", files, err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) <= at || called(call) != f {
				return true
			}
			if text, ok := call.Args[at].(*ast.BasicLit); ok {
				if s, err := strconv.Unquote(text.Value); err == nil {
					out = append(out, s)
				}
			}
			return true
		})
	}
	if len(out) == 0 {
		t.Fatalf("%s calls %s with no text", files, f)
	}
	return out
}

func called(call *ast.CallExpr) string {
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

// Every sentence that a film is refused with, that an upload is refused with, and every
// starter drill can be said again in Spanish, with its values.
func TestWhatComesInEnglishIsSaidAgain(t *testing.T) {
	var sentences []string
	for _, f := range formats(t, "film", "refused", 1) {
		if f != "%s" {
			sentences = append(sentences, "“%s” "+f)
		}
	}
	sentences = append(sentences, sniffed(t)...)
	sentences = append(sentences, formats(t, "homework", "Errorf", 1)...)
	// What store and server refuse a student's or a parent's page with.
	sentences = append(sentences, formatsOf(t, "store/links.go", "Errorf", 1)[1:2]...) // the others are an instructor's
	sentences = append(sentences, formatsOf(t, "server/bodies.go", "Given", 0)...)
	sentences = append(sentences, formatsOf(t, "server/bodies.go", "Sprintf", 0)...)
	for _, name := range []string{"page", "links", "requestlog"} {
		sentences = append(sentences, formatsOf(t, "server/"+name+".go", "Given", 0)...)
	}
	for _, name := range []string{"links", "slip"} {
		sentences = append(sentences, formatsOf(t, "server/"+name+".go", "Errorf", 1)...)
	}
	sentences = append(sentences, unavailable(t)...)
	sentences = append(sentences, uploadsAnswers(t)...)
	for _, what := range []string{"film", "clip", "rep", "bullpen", "pitcher", "homework"} { // what a link's page is made of
		sentences = append(sentences, fmt.Sprintf(formatsOf(t, "store/rows.go", "Errorf", 1)[0], what))
	}
	for _, d := range bullpen.StarterDrills {
		sentences = append(sentences, d.Name, d.HowTo)
	}
	for _, w := range bullpen.StarterWorkouts {
		sentences = append(sentences, w.Title, w.Note)
	}
	sentences = append(sentences, bullpen.MessageOf(fmt.Errorf("x")))
	if len(sentences) < 45 {
		t.Errorf("only %d sentences were found", len(sentences))
	}
	for _, s := range sentences {
		n := 0
		english := verb.ReplaceAllStringFunc(s, func(string) string { n++; return fmt.Sprintf("«%d» (a+b)", n) })
		spanish := Spanish.Given(english)
		if spanish == english {
			t.Errorf("%q has no Spanish", english)
		}
		for i := 1; i <= n; i++ {
			if !strings.Contains(spanish, fmt.Sprintf("«%d» (a+b)", i)) {
				t.Errorf("%q lacks a value: %q", english, spanish)
			}
		}
		if English.Given(english) != english {
			t.Errorf("English changes %q", english)
		}
	}
	if typed := "Wrist snap, but mine"; Spanish.Given(typed) != typed {
		t.Errorf("what somebody typed became %q", Spanish.Given(typed))
	}
}

// quoted are the texts in quotes that a pattern finds in a file of the program, at least so
// many.
func quoted(t *testing.T, file, pattern string, least int) []string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", file))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(string(text), -1) {
		sentence, err := strconv.Unquote(m[1])
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, sentence)
	}
	if len(out) < least {
		t.Errorf("only %d sentences in %s", len(out), file)
	}
	return out
}

// unavailable are the sentences that are said of a database or files that can't be used now,
// and of what was given up.
func unavailable(t *testing.T) []string {
	t.Helper()
	out := quoted(t, "store/rows.go", `Message: (".*?")`, 2)
	out = append(out, quoted(t, "postgres/errors.go", `(?:(?:busy|unreachable) +=|return bullpen\.\w+,) (".*?")`, 8)...)
	out = append(out, quoted(t, "blob/bucket.go", `Message: ("[^"]*")[,}]`, 5)...)
	out = append(out, quoted(t, "blob/blob.go", `Message: ("[^"]*")[,}]`, 1)...)
	return append(out, quoted(t, "server/errors.go", `givenUp = (".*?")`, 1)...)
}

// uploadsAnswers are the sentences that an upload's answers are said in, whatever the
// program behind it calls them.
func uploadsAnswers(t *testing.T) []string {
	t.Helper()
	out := quoted(t, "homework/serve.go", `(?:http\.Status\w+:\s+|sentence = |Message: )(".*?")`, 7)
	for _, sentence := range out {
		if regexp.MustCompile(`\b(HEAD|tus|5\d\d|bucket)\b`).MatchString(sentence) {
			t.Errorf("a student reads %q", sentence)
		}
	}
	return out
}

// sniffed are the reasons that what is no film is refused with.
func sniffed(t *testing.T) []string {
	t.Helper()
	out := quoted(t, "film/sniff.go", `return "", ("is .*")`, 4)
	for i, why := range out {
		out[i] = "“%s” " + why
	}
	return out
}

// What only whoever runs tenoff can mend is said in Spanish too, but is not written for a
// student, whichever key it has under given.run.
func TestKnows(t *testing.T) {
	for key, forms := range texts(t, English) {
		if sentence := forms["other"]; strings.HasPrefix(key, "given.run.") && Knows(sentence) {
			t.Errorf("%s passes for what a student may be told: %q", key, sentence)
		}
	}
	for sentence, want := range map[string]bool{
		"The storage of the films does not answer; try again in a moment.":        true,
		"The disk is full; make room and try again. Nothing was changed.":         false,
		"The disk is full, so “a.mov” was not kept. Make room and send it again.": false,
		"Nobody wrote this.": false,
	} {
		if got := Knows(sentence); got != want {
			t.Errorf("%q was written for a student: %v", sentence, got)
		}
	}
}

// Every text is asked for by somebody, and none that there is not.
func TestEveryTextIsUsed(t *testing.T) {
	english := texts(t, English)
	var code strings.Builder
	asked := regexp.MustCompile(`(?:Say\(|texts\.Key\()"([\w.]+)"`)
	for _, root := range []string{"..", "../../cmd", "../../web/src"} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			ext := filepath.Ext(path)
			if err != nil || d.IsDir() || ext != ".go" && ext != ".ts" && ext != ".tsx" || strings.HasSuffix(path, "_test.go") || strings.HasSuffix(path, ".test.ts") {
				return err
			}
			text, err := os.ReadFile(path)
			code.Write(text)
			if ext == ".go" {
				for _, m := range asked.FindAllStringSubmatch(string(text), -1) {
					if english[m[1]] == nil && m[1] != "pitch." && m[1] != "pitches." {
						t.Errorf("%s asks for %q, which there is not", path, m[1])
					}
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	all := code.String()
	for key := range english {
		if strings.HasPrefix(key, "given.") || strings.HasPrefix(key, "pitch.") || strings.HasPrefix(key, "pitches.") {
			continue // known by their texts, or by a pitch's code
		}
		if !strings.Contains(all, `"`+strings.TrimSuffix(strings.TrimSuffix(key, ".plain"), "Mostly")+`"`) {
			t.Errorf("nobody asks for %q", key)
		}
	}
}
