package field

import (
	"fmt"
	"strings"
)

// said says in one sentence how a laying would come out.
func (l Outcome) said() string {
	found, lost, renamed, differ, before := 0, 0, 0, 0, 0
	for _, line := range l.Lines {
		switch line.Fate {
		case Joins:
			if found++; line.Rep != nil && line.Rep.Pitch != line.Entry.Pitch {
				renamed++
			}
		case Stays:
			found++
		case Differs:
			differ++
		case NoThrow:
			lost++
		case IsJoined:
			before++
		}
	}
	var parts []string
	if found+differ > 0 {
		parts = append(parts, counted(found+differ, "reading")+" from the field found "+its(found+differ))
	} else if before == 0 {
		parts = append(parts, "no reading from the field found a rep")
	}
	if n := len(l.Unread); n > 0 && found+differ > 0 {
		var places []string
		for _, u := range l.Unread {
			places = append(places, fmt.Sprint(u.Place))
		}
		parts = append(parts, fmt.Sprintf("%s no reading (throw%s %s on the film)", has(n, "throw"), s(n), listed(places)))
	}
	if lost > 0 {
		said := has(lost, "reading")
		if len(parts) == 0 { // nothing has said yet where they are from
			said = strings.Replace(said, " ha", " from the field ha", 1)
		}
		parts = append(parts, said+" no throw")
	}
	text := begun(strings.Join(parts, "; ")) + "."
	if renamed > 0 {
		text += fmt.Sprintf(" %s, logged as %s without a reading, %s the pitch typed at the fence.", begun(counted(renamed, "rep")), fastballs(renamed), takes(renamed))
	}
	if differ > 0 {
		text += fmt.Sprintf(" %s logged as another pitch than was typed at the fence: look at %s before %s.", begun(are(differ, "rep")), it(differ), joins(differ))
	}
	return text
}

var numbers = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}

// counted is "one reading", "14 readings".
func counted(n int, what string) string { return number(n) + " " + what + s(n) }

func number(n int) string {
	if n < len(numbers) {
		return numbers[n]
	}
	return fmt.Sprint(n)
}

func s(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

func its(n int) string {
	if n == 1 {
		return "its rep"
	}
	return "their reps"
}

func has(n int, what string) string {
	if n == 1 {
		return "one " + what + " has"
	}
	return counted(n, what) + " have"
}

func are(n int, what string) string {
	if n == 1 {
		return "one " + what + " is"
	}
	return counted(n, what) + " are"
}

func takes(n int) string {
	if n == 1 {
		return "takes"
	}
	return "take"
}

// listed is "6", "6 and 12", "6, 12 and 13".
func listed(all []string) string {
	last := len(all) - 1
	if last == 0 {
		return all[0]
	}
	return strings.Join(all[:last], ", ") + " and " + all[last]
}

func fastballs(n int) string {
	if n == 1 {
		return "a fastball"
	}
	return "fastballs"
}

func it(n int) string {
	if n == 1 {
		return "it"
	}
	return "them"
}

func joins(n int) string {
	if n == 1 {
		return "it joins"
	}
	return "they join"
}

// begun is a text with a capital at its beginning.
func begun(text string) string { return strings.ToUpper(text[:1]) + text[1:] }
