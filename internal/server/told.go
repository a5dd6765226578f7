package server

import (
	"cmp"
	"context"
	"net/http"

	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/texts"
)

// told serves what a pitcher and her parents are told of a bullpen.
type told struct {
	judged *judged.Bullpens
}

func (t told) routes(s *Server) {
	serve(s, op("getTold", http.MethodGet, "/api/bullpens/{id}/told", "What a pitcher and her parents are told of a bullpen, in their language"), t.get)
}

type toldIn struct {
	ID       string `path:"id" maxLength:"64"`
	Language string `query:"language" enum:"en,es" doc:"hers unless said"`
}

func (t told) get(ctx context.Context, in *toldIn) (wire.Told, error) {
	b, err := t.judged.Of(ctx, in.ID)
	if err != nil {
		return wire.Told{}, err
	}
	tracks := t.judged.Tracks(ctx)
	tells, err := b.Tells(tracks)
	if err != nil {
		return wire.Told{}, err
	}
	l := texts.LanguageOf(cmp.Or(in.Language, b.Pitcher.Language))
	moves, err := b.MovesTold(tracks, l)
	if err != nil {
		return wire.Told{}, err
	}
	return toldOf(b, tells, l, moves[0]), nil
}

// toldOf is what is told of a bullpen in a language, with what gives her pitches away; moves
// is how she moves, in that language.
func toldOf(b judged.Bullpen, tells []judged.Tells, l texts.Language, moves string) wire.Told {
	t := b.Told(l)
	out := wire.Told{Language: string(l), Headline: t.Headline, Next: t.Next, Moves: moves, Others: append([]string{}, t.Others...)}
	if t.Of != nil {
		out.Pitch, out.Drill, out.Gun = t.Of.Pitch, t.Of.Drill, t.Of.Gun
		out.Tell = b.GivenAway(l, tells, moves)
	}
	return out
}
