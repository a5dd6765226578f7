package main

import (
	"context"
	"net"
	"strings"

	"tenoff/internal/bullpen"
)

// defaultListen is where serve listens unless told otherwise.
const defaultListen = "127.0.0.1:7300"

// listen opens a loopback address. Any other is refused: film of children must not
// lie open on a network.
func listen(ctx context.Context, address string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil, usageError{sentence: "--listen takes HOST:PORT, for instance " + defaultListen}
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, usageError{sentence: "--listen " + address + " would open these films to the network; only this machine's own addresses are served, for instance " + defaultListen}
	}
	return listenAt(ctx, address)
}

// listenAt opens an address.
func listenAt(ctx context.Context, address string) (net.Listener, error) {
	l, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
	if err != nil && strings.Contains(err.Error(), "address already in use") {
		return nil, bullpen.Errorf(bullpen.Unavailable, "Something listens on %s already; perhaps tenoff is running. Choose another with --listen.", address)
	}
	return l, err
}
