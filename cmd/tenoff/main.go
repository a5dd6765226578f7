// Command tenoff is a bullpen's film, readings and clips on one machine.
package main

import (
	"context"
	"fmt"
	"os"
)

func main() {
	if err := run(context.Background(), os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(_ context.Context, args []string) error {
	if len(args) == 1 && args[0] == "openapi" {
		return printOpenAPI(os.Stdout)
	}
	return fmt.Errorf("usage: tenoff openapi")
}
