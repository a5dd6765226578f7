package clip

import (
	"fmt"
	"strconv"

	"tenoff/internal/bullpen"
)

// recovered turns a panic of the graph library, which knows no errors, into one.
func recovered(err *error) {
	if r := recover(); r != nil {
		*err = &bullpen.Error{Code: bullpen.Internal, Message: "This clip could not be planned; the log has the details.", Err: fmt.Errorf("%v", r)}
	}
}

func itoa(v int64) string { return strconv.FormatInt(v, 10) }
