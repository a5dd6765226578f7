package main

import (
	"os"
	"strings"
	"testing"
)

// README lists the columns as the command prints them, and every command.
func TestReadmeAgrees(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	if err := writeColumns(&said); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(readme), "```\n"+said.String()+"```\n") {
		t.Errorf("README's columns are not these; paste what `tenoff columns` prints:\n%s", said.String())
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
