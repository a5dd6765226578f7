package joints

import (
	"errors"
	"fmt"
	"os"
	"runtime"
	"sync"

	ort "github.com/yalue/onnxruntime_go"

	"tenoff/internal/joints/parts"
)

// The heads' grid: a quarter of the picture's rows and columns.
const (
	side  = parts.ThunderSize
	grid  = side / 4
	cells = grid * grid
)

// thunder is a loaded pose model. It is used by one goroutine at a time.
type thunder struct {
	picture                       *ort.Tensor[float32] // planes of red, green and blue, 0 to 255
	heat, centre, towards, within *ort.Tensor[float32]
	session                       *ort.AdvancedSession
}

// environment is ONNX Runtime's own state, which a process has once.
var environment struct {
	sync.Mutex
	library string // what was loaded, "" before
}

// start loads ONNX Runtime's library if it is not loaded yet, and only the one that is
// known.
func start(library string) error {
	environment.Lock()
	defer environment.Unlock()
	if environment.library != "" {
		return nil
	}
	code, err := os.ReadFile(library)
	if err != nil {
		return err
	}
	known, _, _ := parts.Library(runtime.GOOS, runtime.GOARCH)
	if err := known.Check(code); err != nil {
		return err
	}
	ort.SetSharedLibraryPath(library)
	if err := ort.InitializeEnvironment(ort.WithLogLevelError()); err != nil {
		return err
	}
	environment.library = library
	// On Linux there is none; on Windows it would tell the system's own log.
	return ort.DisableTelemetry()
}

// load makes a model ready to run on one thread. Close it after use: it holds some 60 MB.
func load(kit Kit) (_ *thunder, err error) {
	model, err := os.ReadFile(kit.Model)
	if err != nil {
		return nil, err
	}
	if err := parts.CheckThunder(model); err != nil {
		return nil, err
	}
	if err := start(kit.Library); err != nil {
		return nil, err
	}
	t := new(thunder)
	defer func() {
		if err != nil {
			err = errors.Join(fmt.Errorf("joints: %w", err), t.Close())
		}
	}()
	options, err := ort.NewSessionOptions()
	if err != nil {
		return nil, err
	}
	defer options.Destroy()
	// One thread: a film that is looked at leaves the other cores to who waits for an
	// answer.
	if err := errors.Join(options.SetIntraOpNumThreads(1), options.SetInterOpNumThreads(1)); err != nil {
		return nil, err
	}
	for _, make := range []struct {
		to            **ort.Tensor[float32]
		planes, width int64
	}{{&t.picture, 3, side}, {&t.heat, 17, grid}, {&t.centre, 1, grid}, {&t.towards, 34, grid}, {&t.within, 34, grid}} {
		if *make.to, err = ort.NewEmptyTensor[float32](ort.NewShape(1, make.planes, make.width, make.width)); err != nil {
			return nil, err
		}
	}
	t.session, err = ort.NewAdvancedSessionWithONNXData(model,
		[]string{parts.Input}, []string{parts.Heat, parts.Centre, parts.Towards, parts.Within},
		[]ort.Value{t.picture}, []ort.Value{t.heat, t.centre, t.towards, t.within}, options)
	return t, err
}

// run finds the joints in the picture that t.picture holds.
func (t *thunder) run() (found, error) {
	if err := t.session.Run(); err != nil {
		return found{}, err
	}
	return decode(t.heat.GetData(), t.centre.GetData(), t.towards.GetData(), t.within.GetData()), nil
}

// Close gives the model's memory back.
func (t *thunder) Close() error {
	var err error
	if t.session != nil {
		err = t.session.Destroy()
	}
	for _, x := range []*ort.Tensor[float32]{t.picture, t.heat, t.centre, t.towards, t.within} {
		if x != nil {
			err = errors.Join(err, x.Destroy())
		}
	}
	return err
}
