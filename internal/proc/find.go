package proc

import "os/exec"

// Find returns the path of a program, or a *MissingError.
func Find(name string) (string, error) {
	path, err := exec.LookPath(name)
	if err == nil {
		return path, nil
	}
	return "", &MissingError{Name: name, Hint: Install(name)}
}
