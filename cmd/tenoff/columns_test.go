package main

import (
	"os"
	"strings"
	"testing"

	"tenoff/internal/ledger"
)

// README names every command, and the columns are said by theirs.
func TestReadmeAgrees(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range commands() {
		switch c.name {
		case "health", "openapi", "version": // for machines
			continue
		}
		if !strings.Contains(string(readme), "`tenoff "+c.name+"`") {
			t.Errorf("README does not name `tenoff %s`", c.name)
		}
	}
}

func TestEveryColumnIsSaid(t *testing.T) {
	var said strings.Builder
	if err := writeColumns(&said); err != nil {
		t.Fatal(err)
	}
	for _, c := range ledger.Columns {
		if !strings.Contains(said.String(), "\n  "+c.Name) || c.Meaning == "" || !strings.Contains(said.String(), c.Meaning) {
			t.Errorf("%s is not said", c.Name)
		}
	}
}
