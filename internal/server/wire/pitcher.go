package wire

import "tenoff/internal/bullpen"

// Pitcher is one student and what the instructor set for her.
type Pitcher struct {
	ID                 string                 `json:"id"`
	Version            int64                  `json:"version" doc:"send it back with a PATCH"`
	Label              string                 `json:"label" doc:"a nickname or initials"`
	Hand               string                 `json:"hand" enum:"right,left"`
	Level              string                 `json:"level" doc:"a key of /api/levels"`
	DistanceFeet       float64                `json:"distanceFeet" doc:"front of the rubber to the rear point of the plate, feet"`
	ExtensionFeet      *float64               `json:"extensionFeet,omitempty" doc:"how far in front of the rubber she lets go, feet; missing: as far as usualExtensionFeet"`
	UsualExtensionFeet float64                `json:"usualExtensionFeet" doc:"what she goes by without an extension of her own: her level's, feet"`
	BallKind           string                 `json:"ballKind" enum:"12 in,11 in,baseball"`
	BaselinePitch      bullpen.Pitch          `json:"baselinePitch" doc:"the pitch that gaps are counted from"`
	Policy             bullpen.Policy         `json:"policy"`
	TypedBaseline      *Speed                 `json:"typedBaseline,omitempty" doc:"the baseline when policy is typed"`
	TypedGun           bullpen.GunPlace       `json:"typedGun,omitempty" doc:"where the typed baseline was read from; missing: not said, and it counts for every place"`
	TypedWithin        *Speed                 `json:"typedWithin,omitempty" doc:"standard uncertainty of the typed baseline; missing: 1 mph"`
	GunTolerance       Speed                  `json:"gunTolerance" doc:"half-width of the gun's tolerance"`
	Bands              map[bullpen.Pitch]Band `json:"bands" doc:"her own bands by pitch code"`
	UsualBands         map[bullpen.Pitch]Band `json:"usualBands" doc:"what she goes by where she has no band of her own: her level's, or else the pitch type's default"`
	Unit               bullpen.Unit           `json:"unit" doc:"what pages and captions show"`
	Language           string                 `json:"language" enum:"en,es" doc:"what her captions, links and reports are written in"`
}

// NewPitcher is a POST body: what is left out is filled in from the level.
type NewPitcher struct {
	Label string       `json:"label" minLength:"1" maxLength:"60" doc:"a nickname or initials; full names are not asked for"`
	Hand  string       `json:"hand,omitempty" enum:"right,left" doc:"right unless said"`
	Level string       `json:"level,omitempty" maxLength:"40" doc:"a key of /api/levels; 14U unless said"`
	Unit  bullpen.Unit `json:"unit,omitempty" doc:"mph unless said"`
}

// PitcherEdit is a PATCH body.
type PitcherEdit struct {
	Version          int64                   `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	Label            *string                 `json:"label,omitempty" minLength:"1" maxLength:"60"`
	Hand             *string                 `json:"hand,omitempty" enum:"right,left"`
	Level            *string                 `json:"level,omitempty" maxLength:"40" doc:"takes the level's distance and ball along unless they are sent too"`
	DistanceFeet     *float64                `json:"distanceFeet,omitempty" minimum:"20" maximum:"70" doc:"feet"`
	ExtensionFeet    Edit[float64]           `json:"extensionFeet,omitzero" doc:"her own, 0 to 12 feet; null: her level's"`
	BallKind         *string                 `json:"ballKind,omitempty" enum:"12 in,11 in,baseball"`
	BaselinePitch    *bullpen.Pitch          `json:"baselinePitch,omitempty"`
	Policy           *bullpen.Policy         `json:"policy,omitempty"`
	TypedBaselineMPH *float64                `json:"typedBaselineMph,omitempty" minimum:"15" maximum:"90" doc:"mph"`
	TypedGun         Edit[bullpen.GunPlace]  `json:"typedGun,omitzero" doc:"where the typed baseline was read from; null: not said"`
	TypedWithinMPH   Edit[float64]           `json:"typedWithinMph,omitzero" doc:"standard uncertainty of the typed baseline, 0 to 10 mph; null: 1"`
	GunToleranceMPH  *float64                `json:"gunToleranceMph,omitempty" minimum:"0" maximum:"5" doc:"half-width, mph"`
	Bands            *map[bullpen.Pitch]Band `json:"bands,omitempty" doc:"replaces all her own bands"`
	Unit             *bullpen.Unit           `json:"unit,omitempty"`
	Language         *string                 `json:"language,omitempty" enum:"en,es"`
}

// PitcherCard is a pitcher in a list.
type PitcherCard struct {
	ID       string           `json:"id"`
	Version  int64            `json:"version"`
	Label    string           `json:"label"`
	Level    string           `json:"level"`
	Bullpens int              `json:"bullpens" doc:"how many bullpens she has"`
	Reps     int              `json:"reps" doc:"how many reps in all"`
	LastDay  string           `json:"lastDay,omitempty" format:"date" doc:"the day of her latest bullpen"`
	Gun      bullpen.GunPlace `json:"gun" doc:"where the gun stands in her next bullpen unless said: where it stood in the latest"`
	Unit     bullpen.Unit     `json:"unit" doc:"what the gun shows in her next bullpen unless said"`
}

// PitcherOf returns p as the API says it.
func PitcherOf(p bullpen.Pitcher) Pitcher {
	out := Pitcher{
		ID: p.ID, Version: p.Version, Label: p.Label, Hand: p.Hand, Level: p.Level,
		DistanceFeet: p.DistanceFeet, ExtensionFeet: p.ExtensionFeet, UsualExtensionFeet: p.LevelExtensionFeet, BallKind: p.BallKind,
		BaselinePitch: p.BaselinePitch, Policy: p.Policy, TypedGun: p.TypedGun, TypedWithin: speedOf(p.TypedWithin), GunTolerance: SpeedOf(p.GunTolerance),
		Bands: bandsOf(p.Bands), UsualBands: map[bullpen.Pitch]Band{}, Unit: p.Unit, Language: p.Language,
	}
	for _, t := range bullpen.PitchTypes {
		if b, ok := p.UsualBand(t.Code); ok {
			out.UsualBands[t.Code] = Band(b)
		}
	}
	if p.TypedBaseline > 0 {
		out.TypedBaseline = speedOf(&p.TypedBaseline)
	}
	return out
}

// Onto writes what was sent onto p. A level takes its distance and ball along, unless
// they were sent too, and its extension and bands, under her own.
func (e PitcherEdit) Onto(p *bullpen.Pitcher, level bullpen.Level) {
	p.Version = e.Version
	set(&p.Label, e.Label)
	set(&p.Hand, e.Hand)
	if e.Level != nil && *e.Level != p.Level {
		*p = p.At(level)
	}
	set(&p.DistanceFeet, e.DistanceFeet)
	if e.ExtensionFeet.Sent {
		p.ExtensionFeet = e.ExtensionFeet.Value
	}
	set(&p.BallKind, e.BallKind)
	set(&p.BaselinePitch, e.BaselinePitch)
	set(&p.Policy, e.Policy)
	set((*float64)(&p.TypedBaseline), e.TypedBaselineMPH)
	clearable(&p.TypedGun, e.TypedGun, "")
	if e.TypedWithinMPH.Sent {
		p.TypedWithin = (*bullpen.Speed)(e.TypedWithinMPH.Value)
	}
	set((*float64)(&p.GunTolerance), e.GunToleranceMPH)
	set(&p.Unit, e.Unit)
	set(&p.Language, e.Language)
	if e.Bands != nil {
		p.Bands = bands(*e.Bands)
	}
}
