package bullpen

import "fmt"

// InSet says where a rep of a workout stands: "set 2, no. 3"; "" where that is not said.
// The rep itself is called by its order in the bullpen, "rep 10", and nothing else is
// called a rep's number.
func InSet(set, number int) string {
	switch {
	case set > 0 && number > 0:
		return fmt.Sprintf("set %d, no. %d", set, number)
	case set > 0:
		return fmt.Sprintf("set %d", set)
	case number > 0:
		return fmt.Sprintf("no. %d", number)
	}
	return ""
}
