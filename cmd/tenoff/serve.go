package main

import (
	"context"
	"flag"
)

func serve(_ context.Context, _ streams, flags *flag.FlagSet, args []string) error {
	_, err := parse(flags, args, 0)
	return err
}
