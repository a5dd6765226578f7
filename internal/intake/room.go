package intake

import (
	"fmt"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// CheckRoom refuses a film of so many bytes that is too large, or for which there is no
// room on the disk. name is what the phone called it.
func (in *Intake) CheckRoom(name string, bytes int64) error {
	return in.checkRoom(cleanName(name), bytes)
}

// CheckSize refuses a film of so many bytes that is too large.
func (in *Intake) CheckSize(name string, bytes int64) error {
	if bytes > in.options.MaxBytes {
		return in.tooLarge(cleanName(name))
	}
	return nil
}

// CleanName makes a file's name fit to be shown.
func CleanName(name string) string { return cleanName(name) }

// checkRoom refuses a film of so many bytes that is too large, or for which the disk
// has no room with all that will be made of it: at most half as much again.
func (in *Intake) checkRoom(name string, bytes int64) error {
	if bytes > in.options.MaxBytes {
		return in.tooLarge(name)
	}
	free, err := in.free()
	if err != nil {
		return err
	}
	need := bytes + bytes/2 + in.options.Reserve
	if free < need {
		return bullpen.Errorf(bullpen.Unavailable, "There is too little room on the disk for “%s”: it takes %s and %s are free. Make room and send it again.",
			name, megabytes(need), megabytes(free))
	}
	return nil
}

func (in *Intake) tooLarge(name string) error {
	return bullpen.Errorf(bullpen.Invalid, "“%s” is larger than %s; cut it into shorter films and send those.", name, megabytes(in.options.MaxBytes))
}

// full says a full disk in words.
func (in *Intake) full(name string, err error) error {
	if disk.Full(err) {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: fmt.Sprintf("The disk is full, so “%s” was not kept. Make room and send it again.", name), Err: err}
	}
	return err
}

// megabytes says a size for people.
func megabytes(n int64) string {
	switch {
	case n >= 1e9:
		return fmt.Sprintf("%.1f GB", float64(n)/1e9)
	case n >= 1e6:
		return fmt.Sprintf("%.1f MB", float64(n)/1e6)
	case n >= 1e3:
		return fmt.Sprintf("%.1f kB", float64(n)/1e3)
	}
	return fmt.Sprintf("%d bytes", n)
}
