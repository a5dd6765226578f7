package clip

// stand-in until film.SafeInput is there
func safeInput(container string) map[string]string {
	return map[string]string{"protocol_whitelist": "file", "f": container}
}
