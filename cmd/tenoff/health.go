package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"net/http"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

// health asks a running server whether it is well, for supervisors.
func health(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	address := flags.String("address", defaultListen, "where the server listens")
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, 4*time.Second)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+*address+"/api/health", nil)
	if err != nil {
		return usageError{sentence: "--address takes HOST:PORT, for instance " + defaultListen}
	}
	ill := bullpen.Errorf(bullpen.Unavailable, "No healthy tenoff answers on %s.", *address)
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return ill
	}
	defer res.Body.Close()
	var h wire.Health
	if res.StatusCode != http.StatusOK || json.NewDecoder(res.Body).Decode(&h) != nil || !h.OK {
		return ill
	}
	_, err = fmt.Fprintf(io.out, "tenoff %s is well\n", h.Version)
	return err
}
