package server

import (
	"cmp"
	"context"
	"net/http"

	"tenoff/internal/judged"
	"tenoff/internal/said"
	"tenoff/internal/server/wire"
)

// told serves what a pitcher and her parents are told of a bullpen.
type told struct {
	judged *judged.Bullpens
	tells  giveaways
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
	tells, err := t.tells.of(ctx, b)
	return toldOf(b, tells, said.LanguageOf(cmp.Or(in.Language, b.Pitcher.Language))), err
}

// toldOf is what is told of a bullpen in a language, with what gives her pitches away.
func toldOf(b judged.Bullpen, tells []judged.Tells, l said.Language) wire.Told {
	t := b.Told(l)
	out := wire.Told{Language: string(l), Headline: t.Headline, Next: t.Next, Others: append([]string{}, t.Others...)}
	if t.Of != nil {
		out.Pitch, out.Drill, out.Gun = t.Of.Pitch, t.Of.Drill, t.Of.Gun
		if t.Of.Drill == "" {
			out.Tell = toHer(tells, t.Of.Pitch, l)
		}
	}
	return out
}
