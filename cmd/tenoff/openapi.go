package main

import (
	"encoding/json"
	"fmt"
	"io"

	"tenoff/internal/server"
)

const version = "dev"

// printOpenAPI writes the API's description, which needs no data folder.
func printOpenAPI(w io.Writer) error {
	doc, err := json.MarshalIndent(server.New(server.Deps{Version: version}).Document(), "", "  ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", doc)
	return err
}
