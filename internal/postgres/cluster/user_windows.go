package cluster

import (
	"errors"
	"os/exec"
)

func withoutRights() (as func(*exec.Cmd), uid, gid int, err error) {
	return nil, 0, 0, errors.New("there is no PostgreSQL for tests on Windows")
}
