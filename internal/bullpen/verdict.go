package bullpen

// Verdict says where a gap lies against its band.
type Verdict string

// The verdicts on a gap, firm to soft. The empty verdict is pending: no reading,
// no baseline, or a pitch without a band.
const (
	Pending Verdict = ""
	TooFirm Verdict = "too firm"
	InBand  Verdict = "in the band"
	Soft    Verdict = "soft"
	TooSoft Verdict = "too soft"
)

// Place names the verdict as something to be on the edge of: "the band", "too soft".
func (v Verdict) Place() string {
	if v == InBand {
		return "the band"
	}
	return string(v)
}
