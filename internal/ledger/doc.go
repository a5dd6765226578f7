// Package ledger reads and writes the table of reps: CSV and JSON out, a REPS.csv
// in, and readings as a coach types or pastes them, matched to reps in order.
//
// CSV is RFC 4180 in UTF-8. What comes in may come from any spreadsheet: header in
// any case and order, separated by comma, semicolon or tab, with a byte order mark,
// decimal commas, either kind of line end. Every error names the line.
package ledger
