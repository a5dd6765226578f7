package bullpen

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// PainCaution stands beside words that speak of pain.
const PainCaution = "Words about pain come first. No more throwing for now, and her parents should know today; a licensed medical professional says when she throws again. tenoff can't tell what it is."

// SpeaksOfPain reports whether a note has words, English or Spanish, that children use of
// pain, numbness or an injury. It decides what is read first, and is no diagnosis: "no
// pain today" speaks of pain too, and it is better read once too often. The lists are our
// own (common practice, no source); words with another everyday meaning on a ball field,
// such as "pop", count only beside a part of the body.
func SpeaksOfPain(note string) bool {
	words := plainWords(note)
	for i, w := range words {
		if painWords[w] || beside(words, i) {
			return true
		}
		for _, stem := range painStems {
			if strings.HasPrefix(w, stem) {
				return true
			}
		}
	}
	return false
}

// painNear is how many words may lie between a word of two meanings and the part of the body.
const painNear = 4

// beside reports whether words[i] means pain by the part of the body that stands near it.
func beside(words []string, i int) bool {
	if !painBeside[words[i]] && !cant(words, i) {
		return false
	}
	for _, w := range words[max(0, i-painNear):min(len(words), i+painNear+1)] {
		if bodyParts[w] {
			return true
		}
	}
	return false
}

// cant reports whether words[i] is what an arm or a leg can't do.
func cant(words []string, i int) bool {
	before := words[max(0, i-3):i]
	switch {
	case canWords[words[i]]:
		return slices.ContainsFunc(before[max(0, len(before)-2):], func(w string) bool { return w == "cant" || w == "cannot" || w == "couldnt" })
	case puedoWords[words[i]]: // "no puedo levantar", "no lo puedo mover"
		return slices.Contains(before, "no") && slices.ContainsFunc(before, func(w string) bool { return w == "puedo" || w == "pude" || w == "podia" })
	case noWords[words[i]]: // "ya no aguanto", "no siento"
		return slices.Contains(before[max(0, len(before)-2):], "no")
	}
	return false
}

// plainWords returns a note's words in small letters without accents.
func plainWords(note string) []string {
	plain := strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r) || r == '\'' || r == '’':
			return -1 // "can't" is "cant"
		case unicode.IsLetter(r):
			return unicode.ToLower(r)
		}
		return ' '
	}, norm.NFD.String(note))
	return strings.Fields(plain)
}

func wordSet(words string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(words) {
		out[w] = true
	}
	return out
}

var (
	painWords = wordSet(`
		hurt hurts hurting hurted pain pains painful painfully ache aches ached aching achy headache sore soreness
		numb numbness tingle tingles tingling tingly swollen swelling swelled sprain sprained injury injuries injured
		throb throbs throbbing cramp cramps cramping cramped ouch owie bruise bruised bruises dizzy dislocated stung
		burns strain strained burning limp limping faint fainted tore torn broken headaches concussion
		duele duelen dolia dolian dolio dolor dolores doler doliendo dolido ardor arde arden ardia calambre calambres
		esguince mareo mareada mareado punzada punzadas punzante moreton moretones moretes`)
	// painStems begin words of pain and, as far as we know, none of anything else.
	painStems = []string{"fractur", "dolorid", "adolorid", "lastim", "lesion", "hinchad", "hinchaz", "inflam", "entumec", "adormec", "hormigue", "desgarr", "acalambr"}
	// painBeside are of pain beside a part of the body.
	painBeside = wordSet(`
		pop popped pops popping click clicks clicking clicked tight tightness stiff stiffness weird funny sting stings
		stinging pinch pinches pinching pinched tender weak shaky twisted pulled tweaked rolled broke tear jammed snapped dead rompi
		molesta molestan molestia molestias torci torcio torcida torcido trono truena rigido rigida tenso tensa debil rara raro
		dormido dormida dormidos dormidas durmio durmieron duerme duermen tiron tirones jalon jalones hincho quebre zafo chasquido pellizco muerto`)
	canWords   = wordSet(`lift move feel raise bend straighten`)
	puedoWords = wordSet(`levantar mover sentir subir alzar doblar estirar cerrar`)
	noWords    = wordSet(`siento sentia aguanto aguanta`)
	bodyParts  = wordSet(`
		shoulder shoulders elbow elbows wrist wrists forearm bicep biceps tricep triceps arm arms hand finger fingers thumb back hip hips
		knee knees ankle ankles foot feet heel shin shins quad hamstring groin neck ribs rib chest head leg legs thigh calf
		hombro hombros codo codos muneca munecas antebrazo brazo brazos mano dedo dedos pulgar espalda cadera caderas rodilla rodillas
		tobillo tobillos pie pies talon espinilla muslo ingle cuello costilla costillas pecho cabeza pierna piernas pantorrilla`)
)
