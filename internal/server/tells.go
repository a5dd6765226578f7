package server

import (
	"context"
	"net/http"

	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/texts"
)

// giveaways serves what gives her off-speed pitches away.
type giveaways struct {
	judged *judged.Bullpens
}

func (g giveaways) routes(s *Server) {
	serve(s, op("getTells", http.MethodGet, "/api/bullpens/{id}/tells", "What gives her off-speed pitches away before they are thrown, by her joints"), g.get)
}

func (g giveaways) get(ctx context.Context, in *byID) (wire.TellsList, error) {
	b, err := g.judged.Of(ctx, in.ID)
	if err != nil {
		return wire.TellsList{}, err
	}
	all, err := b.Tells(g.judged.Tracks(ctx))
	out := wire.TellsList{Pitches: make([]wire.Tells, len(all))}
	l := texts.LanguageOf(b.Pitcher.Language)
	for i, m := range all {
		t := wire.Tells{Pitch: m.Pitch, Sentence: m.Sentence(), ToHer: m.ToHer(l), Language: string(l), Caution: m.Caution(), Tells: make([]wire.Tell, len(m.Tells))}
		for k, x := range m.Tells {
			t.Tells[k] = wire.Tell{Sentence: x.Sentence(), On: x.On(m), Fast: wire.SpotsOf(x.FastPose), Off: wire.SpotsOf(x.OffPose), Lit: []int{}}
			for _, j := range x.Lit {
				t.Tells[k].Lit = append(t.Tells[k].Lit, int(j))
			}
		}
		out.Pitches[i] = t
	}
	return out, err
}
