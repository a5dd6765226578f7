// Package shelf keeps the finished clips: what each one shows, whether that has
// changed since, what a download is called, and the job that renders them.
package shelf
