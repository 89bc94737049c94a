package mqtt

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
)

// broker runs mosquitto, the counterpart that this project did not write, and
// returns its address and a function that ends it. It is skipped where
// mosquitto is not installed.
func broker(t *testing.T, port, config string) (stop func()) {
	t.Helper()
	exe, err := exec.LookPath("mosquitto")
	if err != nil {
		if exe, err = exec.LookPath("/usr/sbin/mosquitto"); err != nil {
			t.Skip("mosquitto is not installed")
		}
	}
	file := filepath.Join(t.TempDir(), "mosquitto.conf")
	if err := os.WriteFile(file, []byte("listener "+port+" 127.0.0.1\n"+config), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cmd := exec.CommandContext(ctx, exe, "-c", file)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	stopped := false
	stop = func() {
		if !stopped {
			stopped = true
			cancel()
			cmd.Wait()
		}
	}
	t.Cleanup(stop)
	return stop
}

// pub publishes with mosquitto's own client.
func pub(t *testing.T, port string, args ...string) {
	t.Helper()
	exe, err := exec.LookPath("mosquitto_pub")
	if err != nil {
		t.Skip("mosquitto's clients are not installed")
	}
	if out, err := exec.Command(exe, append([]string{"-h", "127.0.0.1", "-p", port}, args...)...).CombinedOutput(); err != nil {
		t.Fatalf("mosquitto_pub %q: %v\n%s", args, err, out)
	}
}

// run runs a source and returns its events as they come.
func run(t *testing.T, s Settings) <-chan probe.Event {
	t.Helper()
	src, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	events := make(chan probe.Event, 1000)
	done := make(chan error, 1)
	began := time.Now()
	go func() {
		done <- src.Run(ctx, func() time.Duration { return time.Since(began) }, func(e probe.Event) { events <- e })
	}()
	t.Cleanup(func() {
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
	})
	return events
}

// await returns the first event that is right.
func await(t *testing.T, events <-chan probe.Event, what string, right func(probe.Event) bool) probe.Event {
	t.Helper()
	limit := time.After(20 * time.Second)
	for {
		select {
		case e := <-events:
			if right(e) {
				return e
			}
		case <-limit:
			t.Fatalf("no %s within 20 s", what)
		}
	}
}

func isUp(e probe.Event) bool      { return e.Link == probe.LinkUp }
func isLost(e probe.Event) bool    { return e.Link == probe.LinkLost }
func isReading(e probe.Event) bool { return e.HasReading && e.Link == probe.LinkSame }

func TestSource(t *testing.T) {
	probetest.LeavesNothing(t)
	for _, v5 := range []bool{false, true} {
		t.Run(fmt.Sprintf("version 5 %v", v5), func(t *testing.T) {
			port := probetest.FreePort(t)
			stop := broker(t, port, "allow_anonymous true\n")
			b := Broker{Address: "127.0.0.1:" + port, Version5: v5}
			events := run(t, Settings{Broker: b, Topic: "kitchen/pot"})
			await(t, events, "link", isUp)

			pub(t, port, "-t", "kitchen/room", "-m", "24.1")
			pub(t, port, "-t", "kitchen/pot", "-m", "112.4")
			if e := await(t, events, "reading", isReading); e.Reading.C != 112.4 {
				t.Errorf("%+v", e)
			}
			pub(t, port, "-t", "kitchen/pot", "-q", "1", "-m", "{\n  \"temp_f\": 235.0,\n  \"n\": 2\n}")
			if e := await(t, events, "reading", isReading); e.Reading.C != probe.Fahrenheit(235) {
				t.Errorf("%+v", e)
			}
			pub(t, port, "-t", "kitchen/pot", "-r", "-m", "113.0") // fresh, though retained for others
			if e := await(t, events, "reading", isReading); e.Reading.C != 113 {
				t.Errorf("%+v", e)
			}
			pub(t, port, "-t", "kitchen/pot", "-m", "open")
			if e := await(t, events, "fault", isReading); e.Reading.Fault != probe.FaultOpen {
				t.Errorf("%+v", e)
			}

			// Another subscriber gets the retained 113.0 first, and must not
			// read it.
			late := run(t, Settings{Broker: b, Topic: "kitchen/pot"})
			await(t, late, "link", isUp)
			pub(t, port, "-t", "kitchen/pot", "-m", "114.0")
			if e := await(t, late, "reading", isReading); e.Reading.C != 114 {
				t.Errorf("a stale reading is taken: %+v", e)
			}

			stop()
			if e := await(t, events, "loss", isLost); e.Reading.Fault != probe.FaultGone || e.Note == "" {
				t.Errorf("%+v", e)
			}
			broker(t, port, "allow_anonymous true\n")
			await(t, events, "link again", isUp)
			pub(t, port, "-t", "kitchen/pot", "-m", "115.0")
			if e := await(t, events, "reading", isReading); e.Reading.C != 115 {
				t.Errorf("%+v", e)
			}
		})
	}
}

func TestSource_login(t *testing.T) {
	probetest.LeavesNothing(t)
	port := probetest.FreePort(t)
	file := filepath.Join(t.TempDir(), "passwords")
	tool, err := exec.LookPath("mosquitto_passwd")
	if err != nil {
		t.Skip("mosquitto_passwd is not installed")
	}
	if out, err := exec.Command(tool, "-b", "-c", file, "cook", "sugar").CombinedOutput(); err != nil {
		t.Skipf("mosquitto_passwd: %v\n%s", err, out)
	}
	os.Chmod(file, 0o644) // mosquitto drops root's rights
	for dir := filepath.Dir(file); dir != os.TempDir() && len(dir) > 1; dir = filepath.Dir(dir) {
		os.Chmod(dir, 0o755)
	}
	broker(t, port, "allow_anonymous false\npassword_file "+file+"\n")
	b := Broker{Address: "127.0.0.1:" + port, User: "cook", Password: "salt"}
	refused := func(e probe.Event) bool { return strings.Contains(e.Note, "refuses user or password") }
	for _, v5 := range []bool{false, true} {
		b.Version5 = v5
		e := await(t, run(t, Settings{Broker: b, Topic: "pot"}), "refusal", refused)
		if strings.Contains(e.Note, "salt") {
			t.Errorf("the password is told: %q", e.Note)
		}
	}
	b.Password = "sugar"
	await(t, run(t, Settings{Broker: b, Topic: "pot"}), "link", isUp)
}

func TestPublisher(t *testing.T) {
	probetest.LeavesNothing(t)
	port := probetest.FreePort(t)
	stop := broker(t, port, "allow_anonymous true\n")
	b := Broker{Address: "127.0.0.1:" + port}
	p, err := NewPublisher(b, "shop/pot1")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	notes, done := make(chan string, 100), make(chan struct{})
	p.Publish("phase", []byte("stall"), true) // before there is a connection
	go func() {
		p.Run(ctx, func(n string) { notes <- n })
		close(done)
	}()
	for n := range notes {
		if n == "" {
			break
		}
	}
	if got := sub(t, port, "shop/pot1/phase"); got != "stall" {
		t.Errorf("phase is %q", got)
	}
	if got := sub(t, port, "shop/pot1/status"); got != Online {
		t.Errorf("status is %q", got)
	}
	events := run(t, Settings{Broker: b, Topic: "shop/pot1/celsius"})
	await(t, events, "link", isUp)
	p.Publish("celsius", []byte("112.4"), false)
	if e := await(t, events, "reading", isReading); e.Reading.C != 112.4 {
		t.Errorf("%+v", e)
	}
	stop()
	if n := <-notes; !strings.Contains(n, "cannot publish") {
		t.Errorf("note on a loss: %q", n)
	}
	p.Publish("phase", []byte("climb"), true)
	broker(t, port, "allow_anonymous true\n") // it has forgotten everything
	for n := range notes {
		if n == "" {
			break
		}
	}
	if got := sub(t, port, "shop/pot1/phase"); got != "climb" {
		t.Errorf("phase after the broker's restart is %q", got)
	}
	cancel()
	<-done
	if got := sub(t, port, "shop/pot1/status"); got != Offline {
		t.Errorf("status at the end is %q", got)
	}
}

// The broker itself tells of a publisher that dies.
func TestPublisher_will(t *testing.T) {
	probetest.LeavesNothing(t)
	port := probetest.FreePort(t)
	broker(t, port, "allow_anonymous true\n")
	b := Broker{Address: "127.0.0.1:" + port}
	var c *conn
	var err error
	for range 100 {
		if c, err = b.connect(t.Context(), &message{Topic: "pot/status", Payload: []byte(Offline)}); err == nil {
			break
		}
		waitFor(t, port)
	}
	if err != nil {
		t.Fatal(err)
	}
	c.Close() // without a word
	if got := sub(t, port, "pot/status"); got != Offline {
		t.Errorf("status is %q", got)
	}
}

// waitFor waits until somebody listens on the port.
func waitFor(t *testing.T, port string) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); {
		if c, err := net.DialTimeout("tcp", "127.0.0.1:"+port, time.Second); err == nil {
			c.Close()
			return
		}
	}
	t.Fatal("the broker does not listen")
}

// sub returns the next message of a topic, by mosquitto's own client.
func sub(t *testing.T, port, topic string) string {
	t.Helper()
	exe, err := exec.LookPath("mosquitto_sub")
	if err != nil {
		t.Skip("mosquitto's clients are not installed")
	}
	out, err := exec.Command(exe, "-h", "127.0.0.1", "-p", port, "-t", topic, "-C", "1", "-W", "10").Output()
	if err != nil {
		t.Fatalf("mosquitto_sub %s: %v", topic, err)
	}
	return strings.TrimSpace(string(out))
}

// While the broker is away nothing blocks and memory stays bounded.
func TestPublisher_queue(t *testing.T) {
	p, err := NewPublisher(Broker{Address: "127.0.0.1:1"}, "/pot/")
	if err != nil {
		t.Fatal(err)
	}
	for i := range 1000 {
		p.Publish("celsius", []byte(fmt.Sprint(i)), false)
		p.Publish("phase", []byte(fmt.Sprint(i)), true)
	}
	due := p.take()
	if len(due) != queueMax+1 || p.Lost() != 1000-queueMax {
		t.Errorf("%d due, %d lost", len(due), p.Lost())
	}
	if due[0].Topic != "pot/phase" || string(due[0].Payload) != "999" || !due[0].Retained {
		t.Errorf("state %+v", due[0])
	}
	if last := due[len(due)-1]; string(last.Payload) != "999" || last.Topic != "pot/celsius" {
		t.Errorf("last %+v", last)
	}
}

func TestNew_refuses(t *testing.T) {
	b := Broker{Address: "bench"}
	for _, s := range []Settings{{}, {Broker: b}, {Topic: "pot"}, {Broker: b, Topic: "pots/+"}, {Broker: b, Topic: "#"}, {Broker: b, Topic: "a\x00"}} {
		if _, err := New(s); err == nil {
			t.Errorf("New(%+v) has no objection", s)
		}
	}
	if got := (Broker{Address: "::1"}).address(); got != "[::1]:1883" {
		t.Errorf("address %q", got)
	}
}
