package joints

import (
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// kitOf returns the kit that the build makes.
func kitOf(t testing.TB) Kit {
	t.Helper()
	if os.Getenv(FolderVariable) == "" {
		built, err := filepath.Abs("../../.build/joints")
		if err != nil {
			t.Fatal(err)
		}
		t.Setenv(FolderVariable, built)
	}
	kit, lack := FindKit()
	if lack != "" {
		t.Fatal(lack)
	}
	return kit
}

// Without the files the program says what is missing, and how to get it.
func TestWithoutKit(t *testing.T) {
	t.Setenv(FolderVariable, t.TempDir())
	_, lack := FindKit()
	for _, want := range []string{"movenet-thunder.onnx", "go run ./cmd/dev build"} {
		if !strings.Contains(lack, want) {
			t.Errorf("%q does not say %q", lack, want)
		}
	}
}

// A file that is not the one that is known is not loaded.
func TestOtherModelIsRefused(t *testing.T) {
	kit := kitOf(t)
	model, err := os.ReadFile(kit.Model)
	if err != nil {
		t.Fatal(err)
	}
	model[len(model)/2] ^= 1
	kit.Model = filepath.Join(t.TempDir(), "model.onnx")
	if err := os.WriteFile(kit.Model, model, 0o600); err != nil {
		t.Fatal(err)
	}
	if m, err := load(kit); err == nil {
		m.Close()
		t.Error("a changed model was loaded")
	}
}

// A library that is not the one that is known is not run.
func TestOtherLibraryIsRefused(t *testing.T) {
	kit := kitOf(t)
	kit.Library = filepath.Join(t.TempDir(), "library")
	if err := os.WriteFile(kit.Library, []byte("another one"), 0o600); err != nil {
		t.Fatal(err)
	}
	environment.Lock()
	loaded := environment.library
	environment.library = ""
	environment.Unlock()
	defer func() {
		environment.Lock()
		environment.library = loaded
		environment.Unlock()
	}()
	err := New(kit).Find(t.Context(), Film{}, nil, nil, nil)
	if bullpen.CodeOf(err) != bullpen.Unavailable || !strings.Contains(bullpen.MessageOf(err), "don't fit") || !strings.Contains(err.Error(), "is not the file that is known") {
		t.Errorf("another library: %v", err)
	}
}

// picture reads one of testdata's.
func picture(t *testing.T, name string) Picture {
	t.Helper()
	file, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	im, err := png.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	return pictureOf(im)
}

func pictureOf(im image.Image) Picture {
	b := im.Bounds()
	p := Picture{Width: b.Dx(), Height: b.Dy()}
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, bl, _ := im.At(x, y).RGBA()
			p.RGB = append(p.RGB, byte(r>>8), byte(g>>8), byte(bl>>8))
		}
	}
	return p
}
