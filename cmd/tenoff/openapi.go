package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"

	"tenoff/internal/server"
)

// openapi prints the API's description, which needs no data folder.
func openapi(_ context.Context, io streams, flags *flag.FlagSet, args []string) error {
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	doc, err := json.MarshalIndent(server.New(server.Deps{Version: version()}).Document(), "", "  ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(io.out, "%s\n", doc)
	return err
}
