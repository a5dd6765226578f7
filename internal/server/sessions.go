package server

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/bullpen"
	"tenoff/internal/passphrase"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) sessionRoutes() {
	serve(s, op("getSession", http.MethodGet, "/api/session", "Who is asking"), s.getSession)
	s.stream(s.signInOp(), "", s.signIn)
	serve(s, op("signOut", http.MethodDelete, "/api/session", "Sign out"), s.signOut)
	serve(s, op("listAccounts", http.MethodGet, "/api/accounts", "The instructors' accounts; the owner's to see"), s.listAccounts)
	serve(s, op("addAccount", http.MethodPost, "/api/accounts", "Add an instructor; the owner's to do"), s.addAccount)
	serve(s, op("removeAccount", http.MethodDelete, "/api/accounts/{id}", "Remove an instructor who has no pitchers any more; the owner's to do"), s.removeAccount)
	serve(s, op("setPassphrase", http.MethodPut, "/api/accounts/{id}/passphrase", "Give an instructor another passphrase and sign her out; the owner's to do"), s.setPassphrase)
	serve(s, op("changePassphrase", http.MethodPut, "/api/passphrase", "Change your own passphrase; you are signed out everywhere"), s.changePassphrase)
}

func (s *Server) getSession(ctx context.Context, _ *struct{}) (wire.Session, error) {
	c := callerOf(ctx)
	return wire.Session{
		Open: c.open, SignedIn: c.open || c.account.ID != "", Name: c.account.Name, Owner: c.open || c.account.Owner,
	}, nil
}

// signedIn is how long a session lasts.
const signedIn = 30 * 24 * time.Hour

func (s *Server) signInOp() huma.Operation {
	o := op("signIn", http.MethodPost, "/api/session", "Sign in; the session is a cookie")
	o.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{"application/json": {Schema: schema[wire.SignIn](s)}}}
	o.Responses = map[string]*huma.Response{"200": content("Signed in", "application/json", schema[wire.Session](s))}
	return o
}

func (s *Server) signIn(c *gin.Context) error {
	var in wire.SignIn
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, 4<<10)
	if err := c.ShouldBindJSON(&in); err != nil || len(in.Name) > 240 || len(in.Passphrase) > 800 {
		return bullpen.Errorf(bullpen.Invalid, "Send a name and a passphrase.")
	}
	if !s.deps.Access.Guarded {
		return bullpen.Errorf(bullpen.Conflict, "This server asks for no passphrase.")
	}
	account, err := s.known(c.Request, in)
	if err != nil {
		return err
	}
	token, err := s.deps.Store.AddSession(c.Request.Context(), account, signedIn)
	if err != nil {
		return err
	}
	http.SetCookie(c.Writer, s.cookie(c.Request, token, signedIn))
	c.JSON(http.StatusOK, wire.Session{SignedIn: true, Name: account.Name, Owner: account.Owner})
	return nil
}

// known returns whose name and passphrase these are. Whoever sits at the machine gets
// in whatever others try: her attempts are counted apart from theirs, and have a lane of
// their own. They are counted, since a bare forward of the port looks like her.
func (s *Server) known(r *http.Request, in wire.SignIn) (store.Account, error) {
	door, from := s.front, neighbourhood(s.remote(r))
	if s.atMachine(r) {
		door, from = s.inside, "this machine"
	}
	leave, err := door.enter(r.Context(), from)
	if err != nil {
		return store.Account{}, err
	}
	defer leave()
	account, ok, err := s.deps.Store.AccountNamed(r.Context(), in.Name)
	if err != nil {
		return store.Account{}, err
	}
	// An unknown name takes as long as a wrong passphrase.
	if right := passphrase.Matches(account.Passphrase, in.Passphrase); !ok || !right {
		return store.Account{}, refusal(http.StatusUnauthorized, "That is not the name and passphrase of an account.")
	}
	return account, door.opened(r.Context(), from)
}

// cookieName has the prefix by which browsers hold a cookie to this very host, where
// the connection allows it (RFC 6265bis, 4.1.3.2).
func (s *Server) cookieName(r *http.Request) string {
	if scheme, _ := s.addressed(r); scheme == "https" {
		return "__Host-tenoff"
	}
	return "tenoff"
}

func (s *Server) cookie(r *http.Request, token string, lasts time.Duration) *http.Cookie {
	scheme, _ := s.addressed(r)
	return &http.Cookie{
		Name: s.cookieName(r), Value: token, Path: "/", MaxAge: int(lasts.Seconds()),
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: scheme == "https",
	}
}

func (s *Server) signOut(ctx context.Context, _ *struct{}) (wire.Session, error) {
	c := callerOf(ctx)
	if c.token == "" {
		return s.getSession(ctx, nil)
	}
	return wire.Session{}, s.deps.Store.EndSession(ctx, c.token)
}

func (s *Server) listAccounts(ctx context.Context, _ *struct{}) (wire.AccountList, error) {
	list, err := s.deps.Store.Accounts(ctx)
	out := wire.AccountList{Accounts: make([]wire.Account, len(list))}
	for i, a := range list {
		out.Accounts[i] = wire.Account{ID: a.ID, Name: a.Name, Owner: a.Owner, Created: a.Created}
	}
	return out, err
}

func (s *Server) addAccount(ctx context.Context, in *sent[wire.NewAccount]) (wire.AccountList, error) {
	hash, err := passphrase.Hash(in.Body.Passphrase)
	if err != nil {
		return wire.AccountList{}, err
	}
	if _, err := s.deps.Store.AddAccount(ctx, in.Body.Name, hash); err != nil {
		return wire.AccountList{}, err
	}
	return s.listAccounts(ctx, nil)
}

func (s *Server) removeAccount(ctx context.Context, in *byID) (wire.AccountList, error) {
	if err := s.deps.Store.RemoveAccount(ctx, in.ID); err != nil {
		return wire.AccountList{}, err
	}
	return s.listAccounts(ctx, nil)
}

func (s *Server) setPassphrase(ctx context.Context, in *to[wire.NewPassphrase]) (wire.AccountList, error) {
	hash, err := passphrase.Hash(in.Body.Passphrase)
	if err != nil {
		return wire.AccountList{}, err
	}
	if err := s.deps.Store.SetPassphrase(ctx, in.ID, hash); err != nil {
		return wire.AccountList{}, err
	}
	return s.listAccounts(ctx, nil)
}

func (s *Server) changePassphrase(ctx context.Context, in *sent[wire.ChangePassphrase]) (wire.Session, error) {
	c := callerOf(ctx)
	if c.open {
		return wire.Session{}, bullpen.Errorf(bullpen.Conflict, "This server asks for no passphrase; set one with `tenoff passphrase`.")
	}
	// A session that somebody else got hold of is no way to try passphrases; and no
	// stranger who tries some keeps her from changing hers.
	leave, err := s.changing.enter(ctx, c.account.ID)
	if err != nil {
		return wire.Session{}, err
	}
	defer leave()
	if !passphrase.Matches(c.account.Passphrase, in.Body.Old) {
		return wire.Session{}, bullpen.Errorf(bullpen.Invalid, "That is not your passphrase as it was.")
	}
	if err := s.changing.opened(ctx, c.account.ID); err != nil {
		return wire.Session{}, err
	}
	hash, err := passphrase.Hash(in.Body.New)
	if err != nil {
		return wire.Session{}, err
	}
	return wire.Session{}, s.deps.Store.SetPassphrase(ctx, c.account.ID, hash)
}
