package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"tenoff/internal/bullpen"
)

// Account is an instructor's. Academy is hers alone.
type Account struct {
	ID         string
	Academy    string
	Name       string
	Passphrase string // as it is stored: a hash with its parameters
	Owner      bool
	Created    int64 // microseconds UTC
}

const accountFields = `a.id, a.academy_id, a.name, a.passphrase, a.owner, a.created`

func accountFrom(row scanner) (a Account, err error) {
	return a, row.Scan(&a.ID, &a.Academy, &a.Name, &a.Passphrase, &a.Owner, &a.Created)
}

// Accounts lists every account by name.
func (s *Store) Accounts(ctx context.Context) ([]Account, error) {
	return all(ctx, s.read, accountFrom, `SELECT `+accountFields+` FROM accounts a ORDER BY a.name COLLATE NOCASE`)
}

// AccountNamed returns the account with that name; ok is false if there is none.
func (s *Store) AccountNamed(ctx context.Context, name string) (a Account, ok bool, err error) {
	a, err = accountFrom(s.read.QueryRowContext(ctx, `SELECT `+accountFields+` FROM accounts a WHERE a.name COLLATE NOCASE = ?`, name))
	if errors.Is(err, sql.ErrNoRows) {
		return a, false, nil
	}
	return a, err == nil, explain(err)
}

// SetOwner gives the owner her name and her passphrase's hash, and signs her out
// everywhere; the first call makes her account, over the academy that was first.
func (s *Store) SetOwner(ctx context.Context, name, hash string) error {
	return s.tx(ctx, func(tx *tx) error {
		if err := tx.nameFree(name, `owner = 0`); err != nil {
			return err
		}
		var id string
		err := tx.QueryRow(`UPDATE accounts SET name = ?, passphrase = ?, version = version + 1 WHERE owner = 1 RETURNING id`, name, hash).Scan(&id)
		if errors.Is(err, sql.ErrNoRows) {
			_, err = tx.Exec(`INSERT INTO accounts (id, academy_id, version, created, name, passphrase, owner) VALUES (?, ?, 1, ?, ?, ?, 1)`,
				newID(), s.first, tx.now, name, hash)
			return err
		}
		if err != nil {
			return err
		}
		tx.sessions = true
		_, err = tx.Exec(`DELETE FROM sessions WHERE account_id = ?`, id)
		return err
	})
}

func (t *tx) nameFree(name, among string) error {
	var n int
	if err := t.QueryRow(`SELECT count(*) FROM accounts WHERE name COLLATE NOCASE = ? AND `+among, name).Scan(&n); err != nil {
		return err
	}
	if n > 0 {
		return bullpen.Errorf(bullpen.Conflict, "There is an account called “%s” already; choose another name.", name)
	}
	return nil
}

// AddAccount stores an instructor's account, with an academy of its own.
func (s *Store) AddAccount(ctx context.Context, name, hash string) (Account, error) {
	a := Account{ID: newID(), Academy: newID(), Name: name, Passphrase: hash}
	err := s.tx(ctx, func(tx *tx) error {
		if err := tx.nameFree(name, `1 = 1`); err != nil {
			return err
		}
		a.Created = tx.now
		if _, err := tx.Exec(`INSERT INTO academies (id, created) VALUES (?, ?)`, a.Academy, tx.now); err != nil {
			return err
		}
		_, err := tx.Exec(`INSERT INTO accounts (id, academy_id, version, created, name, passphrase, owner) VALUES (?, ?, 1, ?, ?, ?, 0)`,
			a.ID, a.Academy, tx.now, name, hash)
		return err
	})
	return a, err
}

// SetPassphrase stores an account's new hash and signs it out everywhere.
func (s *Store) SetPassphrase(ctx context.Context, id, hash string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE accounts SET passphrase = ?, version = version + 1 WHERE id = ?`, hash, id)
		if err := hit(res, err, "account"); err != nil {
			return err
		}
		tx.sessions = true
		_, err = tx.Exec(`DELETE FROM sessions WHERE account_id = ?`, id)
		return err
	})
}

// RemoveAccount removes an instructor's account that has no pitchers any more. The
// owner's stays.
func (s *Store) RemoveAccount(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		a, err := accountFrom(tx.QueryRow(`SELECT `+accountFields+` FROM accounts a WHERE a.id = ?`, id))
		if err != nil {
			return one(err, "account")
		}
		var pitchers int
		if err := tx.QueryRow(`SELECT count(*) FROM pitchers WHERE academy_id = ?`, a.Academy).Scan(&pitchers); err != nil {
			return err
		}
		switch {
		case a.Owner:
			return bullpen.Errorf(bullpen.Invalid, "The owner's account can't be removed.")
		case pitchers > 0:
			return bullpen.Errorf(bullpen.Invalid, "%s still has %d pitchers; she deletes them first.", a.Name, pitchers)
		}
		tx.sessions = true
		if _, err = tx.Exec(`DELETE FROM accounts WHERE id = ?`, id); err != nil {
			return err
		}
		return s.owe()
	})
}

// AddSession signs an account in for so long and returns the session's token, which
// is kept nowhere. Sessions that have ended are cleared away.
func (s *Store) AddSession(ctx context.Context, a Account, lasts time.Duration) (token string, err error) {
	token, hash := secret()
	err = s.tx(ctx, func(tx *tx) error {
		if _, err := tx.Exec(`DELETE FROM sessions WHERE expires < ?`, tx.now); err != nil {
			return err
		}
		_, err := tx.Exec(`INSERT INTO sessions (token, academy_id, account_id, created, expires) VALUES (?, ?, ?, ?, ?)`,
			hash, a.Academy, a.ID, tx.now, tx.now+lasts.Microseconds())
		return err
	})
	return token, err
}

// Session returns who is signed in with that token; ok is false for nobody.
func (s *Store) Session(ctx context.Context, token string) (a Account, ok bool, err error) {
	a, err = accountFrom(s.read.QueryRowContext(ctx, `SELECT `+accountFields+` FROM sessions s JOIN accounts a ON a.id = s.account_id
		WHERE s.token = ? AND s.expires > ?`, digest(token), s.Now()))
	if errors.Is(err, sql.ErrNoRows) {
		return a, false, nil
	}
	return a, err == nil, explain(err)
}

// EndSession signs a session out.
func (s *Store) EndSession(ctx context.Context, token string) error {
	return s.tx(ctx, func(tx *tx) error {
		tx.sessions = true
		_, err := tx.Exec(`DELETE FROM sessions WHERE token = ?`, digest(token))
		return err
	})
}
