package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strconv"
)

// awakeCommand is the system's own way to stay awake while a program runs. It
// reads its standard input to the end or watches our process, so that it ends
// with us however we end. It is nil where none is known.
func awakeCommand() []string {
	switch runtime.GOOS {
	case "linux":
		return []string{"systemd-inhibit", "--what=idle:sleep", "--who=boildown", "--why=a pot is on the heat", "cat"}
	case "darwin":
		return []string{"caffeinate", "-i", "-w", strconv.Itoa(os.Getpid())}
	}
	return nil
}

// stayAwake keeps the machine from falling asleep until ctx ends. When it
// cannot, it says so once and returns: the cook goes on.
func stayAwake(ctx context.Context, argv []string, say func(note string)) {
	err := fmt.Errorf("no way is known on %s", runtime.GOOS)
	if len(argv) > 0 {
		err = hold(ctx, argv)
	}
	if ctx.Err() == nil {
		say("This machine may fall asleep in mid-cook (" + oneLine(err.Error()) + "): turn that off in its settings.")
	}
}

// hold runs argv until ctx ends and returns why it ended before.
func hold(ctx context.Context, argv []string) error {
	cmd := exec.CommandContext(ctx, argv[0], argv[1:]...)
	ownGroup(cmd)
	cmd.Env = ownEnv()
	input, err := cmd.StdinPipe()
	if err != nil {
		return err
	}
	defer input.Close()
	if err := cmd.Start(); err != nil {
		return err
	}
	if err := cmd.Wait(); err != nil {
		return fmt.Errorf("%s: %w", argv[0], err)
	}
	return fmt.Errorf("%s has ended", argv[0])
}
