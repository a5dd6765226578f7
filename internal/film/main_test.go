package film

import (
	"fmt"
	"os"
	"testing"

	"go.uber.org/goleak"

	"tenoff/internal/film/filmtest"
)

// films are the films of this package's tests.
var films *filmtest.Set

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "films-")
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	var recipes []filmtest.Recipe
	for _, k := range kinds() {
		recipes = append(recipes, k.Recipe)
	}
	films = filmtest.NewSet(dir, recipes...)
	code := m.Run()
	os.RemoveAll(dir)
	if code == 0 {
		if err := goleak.Find(); err != nil {
			fmt.Println(err)
			code = 1
		}
	}
	os.Exit(code)
}
