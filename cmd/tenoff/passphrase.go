package main

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"tenoff/internal/bullpen"
	"tenoff/internal/passphrase"
)

// setPassphrase sets the owner's passphrase, also while a server runs; she is signed
// out everywhere.
func setPassphrase(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	at := placeFlags(flags)
	name := flags.String("name", "owner", "the name to sign in with")
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	if err := at.check(); err != nil {
		return err
	}
	if *name = strings.TrimSpace(*name); *name == "" || len(*name) > 60 {
		return usageError{sentence: "--name has 1 to 60 letters"}
	}
	phrase, err := ask(io)
	if err != nil {
		return err
	}
	hash, err := passphrase.Hash(phrase)
	if err != nil {
		return err
	}
	d, err := at.open(ctx, orNew)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.store.SetOwner(ctx, *name, hash); err != nil {
		return err
	}
	_, err = fmt.Fprintf(io.out, "%s signs in with this passphrase from now on\n", *name)
	return err
}

// ask reads a passphrase: twice and unseen from a terminal, else the first line.
func ask(s streams) (string, error) {
	f, isFile := s.in.(*os.File)
	if !isFile || !term.IsTerminal(int(f.Fd())) {
		line, err := bufio.NewReader(s.in).ReadString('\n')
		if err != nil && err != io.EOF {
			return "", err
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	var said [2]string
	for i, prompt := range []string{"Passphrase: ", "Once more: "} {
		fmt.Fprint(s.err, prompt)
		phrase, err := term.ReadPassword(int(f.Fd()))
		fmt.Fprintln(s.err)
		if err != nil {
			return "", err
		}
		said[i] = string(phrase)
	}
	if said[0] != said[1] {
		return "", bullpen.Errorf(bullpen.Invalid, "The two differ; try again.")
	}
	return said[0], nil
}
