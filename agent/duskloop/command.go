package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/wire"
	"duskloop/sim/season"
)

// Exit codes.
const (
	exitWell   = 0
	exitFault  = 1
	exitUsage  = 64 // EX_USAGE
	exitConfig = 78 // EX_CONFIG
)

// grammar is the whole command line.
type grammar struct {
	State string `help:"Folder for record, lock and socket." placeholder:"DIR" default:"${state}"`

	Run      runCommand      `cmd:"" help:"Run the daemon; without a greenhouse file the simulated demo."`
	Check    checkCommand    `cmd:"" help:"Check a greenhouse file and print what follows from it."`
	Simulate simulateCommand `cmd:"" help:"Simulate days to a season as fast as it goes."`
	Season   seasonCommand   `cmd:"" help:"Fly a winter by several ways of spending the heat, and say how each did beside perfect foresight."`
	Size     sizeCommand     `cmd:"" help:"Say whether a heater on paper keeps the crop through a winter, and which change helps most."`
	Export   exportCommand   `cmd:"" help:"Write the record of a time range as CSV, or draw it."`
	Nights   nightsCommand   `cmd:"" help:"Tell recorded nights, a line each: coldest air, heat and battery, what was expected, and the cold that heat avoided."`
	Hand     handCommand     `cmd:"" help:"Give an order by hand to the running daemon."`
	Settings settingsCommand `cmd:"" help:"Show or change settings of the running daemon, or see first what a change would have done."`
	Page     pageCommand     `cmd:"" help:"The local page's password."`
	Phone    phoneCommand    `cmd:"" help:"Send a test message to your telephone."`
	Rest     restCommand     `cmd:"" help:"Bring all outputs to rest, without a daemon."`
	Element  elementCommand  `cmd:"" help:"Say what an element takes from a panel, at one light or over a season."`
	Sky      skyCommand      `cmd:"" help:"Say where the sun stands and what falls on a panel."`
	Mix      mixCommand      `cmd:"" help:"Say what a mix of water and glycerin is, or give a recipe."`
	Fit      fitCommand      `cmd:"" help:"Fit the simulated greenhouse to the record, and say how far to trust it."`
	Tune     tuneCommand     `cmd:"" help:"Search settings that do better on simulated winters of the fitted greenhouse, and say what each is worth."`
	Trial    trialCommand    `cmd:"" help:"Judge bench runs of a heater: what power reaches the liquid, and which is better."`
}

// session is what every command is handed.
type session struct {
	context.Context
	out, err io.Writer
	state    string
}

// command parses the line and runs what it asks for.
func command(ctx context.Context, args []string, stdout, stderr io.Writer) (int, error) {
	var g grammar
	code, stopped := exitWell, false
	parser, err := kong.New(&g,
		kong.Name("duskloop"),
		kong.Description("Warms a seedling tunnel with the day's sun. It is not a safeguard: fit an independent thermal cut-out and a relief valve."),
		kong.Writers(stdout, stderr),
		kong.Vars{"state": stateFolder(), "faults": agent.FaultNames(), "policies": strings.Join(season.Policies(), ", "), "usual": strconv.Itoa(wire.UsualNights)},
		kong.WithHyphenPrefixedParameters(true),
		kong.Exit(func(int) { stopped = true }),
	)
	if err != nil {
		return exitFault, err
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	line, err := parser.Parse(args)
	if stopped { // help was asked for and given
		return code, nil
	}
	if err != nil {
		return exitUsage, fmt.Errorf("%w (see duskloop --help)", err)
	}
	err = worded(line.Run(&session{Context: ctx, out: stdout, err: stderr, state: g.State}))
	return exitCode(err), err
}

// exitCode maps an error to its exit code.
func exitCode(err error) int {
	if err == nil {
		return exitWell
	}
	if _, faults := errors.AsType[config.Faults](err); faults || errors.Is(err, agent.ErrConfig) {
		return exitConfig
	}
	if _, wrong := errors.AsType[usage](err); wrong {
		return exitUsage
	}
	return exitFault
}

// stateFolder is the service's own where systemd made one, otherwise the user's
// (XDG base directory specification: XDG_STATE_HOME, ~/.local/state).
func stateFolder() string {
	if dir := os.Getenv("STATE_DIRECTORY"); dir != "" {
		return dir
	}
	if dir := os.Getenv("XDG_STATE_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "duskloop")
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "duskloop-state"
	}
	return filepath.Join(home, ".local", "state", "duskloop")
}

// greenhouseFile is the flag that several commands share. It is nil when the
// flag is absent, so that a flag with nothing behind it never means the demo.
type greenhouseFile struct {
	Greenhouse *string `help:"Greenhouse file." placeholder:"FILE"`
}

// given reads the named file; nil without a name. Not being able to read it is
// a fault of configuration.
func (g greenhouseFile) given() (*config.File, error) {
	if g.Greenhouse == nil {
		return nil, nil
	}
	f, err := config.Load(*g.Greenhouse)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", agent.ErrConfig, err)
	}
	return f, nil
}

// orDemo reads the named file, or takes the demo where none is named.
func (g greenhouseFile) orDemo() (*config.File, error) {
	if g.Greenhouse == nil {
		return config.Demo(), nil
	}
	return g.given()
}
