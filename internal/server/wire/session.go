package wire

// Session says who is asking.
type Session struct {
	Open     bool   `json:"open" doc:"this server is reached from its own machine only, and asks for no passphrase"`
	SignedIn bool   `json:"signedIn" doc:"always true when open"`
	Name     string `json:"name,omitempty" doc:"the account's"`
	Owner    bool   `json:"owner" doc:"may add accounts"`
}

// SignIn is a POST body.
type SignIn struct {
	Name       string `json:"name" minLength:"1" maxLength:"60"`
	Passphrase string `json:"passphrase" minLength:"1" maxLength:"200"`
}

// Account is an instructor's. Each sees her own pitchers only.
type Account struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Owner   bool   `json:"owner"`
	Created int64  `json:"created" doc:"microseconds UTC"`
}

// AccountList is every account.
type AccountList struct {
	Accounts []Account `json:"accounts" nullable:"false" doc:"by name"`
}

// NewAccount is a POST body.
type NewAccount struct {
	Name       string `json:"name" minLength:"1" maxLength:"60"`
	Passphrase string `json:"passphrase" minLength:"12" maxLength:"200" doc:"what the new instructor signs in with first"`
}

// NewPassphrase is a PUT body.
type NewPassphrase struct {
	Passphrase string `json:"passphrase" minLength:"12" maxLength:"200"`
}

// Settings are the instructor's own.
type Settings struct {
	KeepDays int `json:"keepDays" minimum:"0" maximum:"3650" doc:"homework originals are deleted so many days after the answer; 0: they are kept"`
}

// ChangePassphrase is a PUT body.
type ChangePassphrase struct {
	Old string `json:"old" minLength:"1" maxLength:"200"`
	New string `json:"new" minLength:"12" maxLength:"200"`
}
