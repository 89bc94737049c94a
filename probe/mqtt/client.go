package mqtt

import (
	"bufio"
	"context"
	"crypto/rand"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"strings"
	"sync"
	"time"

	"boildown/probe/poll"
)

// Times of a connection.
const (
	answerTime = 5 * time.Second
	keepAlive  = 10 * time.Second // the broker tells of our death after one and a half of it
)

// Broker says where a broker is and how to log in.
type Broker struct {
	Address  string      // host or host:port; the port defaults to 1883, or 8883 with TLS
	TLS      *tls.Config // nil for a connection in the clear
	User     string
	Password string // from the environment or a file, never from the command line
	Version5 bool   // speak MQTT 5.0 and not 3.1.1
}

func (b Broker) level() byte {
	if b.Version5 {
		return level5
	}
	return level311
}

func (b Broker) address() string {
	if _, _, err := net.SplitHostPort(b.Address); err == nil {
		return b.Address
	}
	port := "1883"
	if b.TLS != nil {
		port = "8883"
	}
	return net.JoinHostPort(strings.Trim(b.Address, "[]"), port)
}

// conn is a session with a broker.
type conn struct {
	net.Conn
	level byte
	in    *bufio.Reader
	mu    sync.Mutex // one packet at a time goes out
	until time.Time  // no packet may take longer than to then; zero for no such limit
}

// connect opens a session. Will, if any, is what the broker publishes when we
// vanish.
func (b Broker) connect(ctx context.Context, will *message) (*conn, error) {
	ctx, cancel := context.WithTimeout(ctx, answerTime)
	defer cancel()
	var nc net.Conn
	var err error
	if b.TLS != nil {
		nc, err = (&tls.Dialer{Config: b.TLS}).DialContext(ctx, "tcp", b.address())
	} else {
		nc, err = (&net.Dialer{}).DialContext(ctx, "tcp", b.address())
	}
	if err != nil {
		return nil, err
	}
	c := &conn{Conn: nc, level: b.level(), in: bufio.NewReader(nc)}
	defer context.AfterFunc(ctx, func() { nc.SetDeadline(time.Now()) })()
	if err := c.greet(b, will); err != nil {
		nc.Close()
		return nil, err
	}
	return c, nil
}

func (c *conn) greet(b Broker, will *message) error {
	c.SetReadDeadline(time.Now().Add(answerTime))
	id := "boildown-" + rand.Text()[:12]
	if err := c.send(connectPacket(c.level, id, b.User, b.Password, uint16(keepAlive/time.Second), will)); err != nil {
		return err
	}
	p, err := readPacket(c.in)
	if err != nil {
		return err
	}
	return connackError(p)
}

// subscribe asks for the topic and waits for the broker's word on it. Messages
// may come before that (3.1.1, 3.8.4).
func (c *conn) subscribe(topic string, early func(message)) error {
	if err := c.send(subscribePacket(c.level, 1, topic)); err != nil {
		return err
	}
	for {
		p, err := readPacket(c.in)
		if err != nil {
			return err
		}
		switch p.kind {
		case typeSuback:
			return subackError(p)
		case typePublish:
			m, _, err := parsePublish(c.level, p) // none is owed an answer: we ask for none
			if err != nil {
				return err
			}
			early(m)
		}
	}
}

// send writes one packet.
func (c *conn) send(b []byte) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	limit := time.Now().Add(answerTime)
	if !c.until.IsZero() && c.until.Before(limit) {
		limit = c.until
	}
	c.SetWriteDeadline(limit)
	_, err := c.Write(b)
	return err
}

// receive reads until something fails and hands on the messages. A broker that
// is silent for two keep-alive times, pings included, counts as gone.
func (c *conn) receive(each func(message)) error {
	for {
		c.SetReadDeadline(time.Now().Add(2 * keepAlive))
		p, err := readPacket(c.in)
		if err != nil {
			return err
		}
		switch p.kind {
		case typePublish:
			m, id, err := parsePublish(c.level, p)
			if err != nil {
				return err
			}
			if id != 0 { // sent with more care than was asked for
				if err := c.send(frame(typePuback<<4, []byte{byte(id >> 8), byte(id)})); err != nil {
					return err
				}
			}
			each(m)
		case typeDisconnect:
			return errors.New("the broker has ended the connection")
		}
	}
}

// ping keeps the session alive.
func (c *conn) ping() error { return c.send(frame(typePingreq<<4, nil)) }

// leaving gives everything that is still sent a second together: a broker that
// takes no bytes must not keep a program from ending.
func (c *conn) leaving() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.until = time.Now().Add(time.Second)
}

// bye ends the session in good order, so that no will is published.
func (c *conn) bye() {
	c.send(frame(typeDisconnect<<4, nil))
	c.Close()
}

// note puts an error in one sentence with its remedy.
func (b Broker) note(doing string, err error) string {
	var unknown *tls.CertificateVerificationError
	remedy := "see that broker and network are up; it is tried again by itself"
	switch {
	case errors.Is(err, ErrLogin):
		remedy = "set user and password in the environment or in a file"
	case errors.Is(err, ErrTopic):
		remedy = "have the broker allow this user to read it"
	case errors.Is(err, ErrVersion):
		remedy = "try the other version of MQTT, 3.1.1 or 5"
	case errors.As(err, &unknown):
		remedy = "give the certificate of the authority that signed the broker's"
	}
	return fmt.Sprintf("cannot %s at %s: %s: %s", doing, b.address(), poll.Plain(err), remedy)
}

// checkTopic refuses names that are no single topic (3.1.1, 4.7).
func checkTopic(topic string) error {
	switch {
	case topic == "":
		return errors.New("mqtt: no topic is named: write mqtt://host/topic")
	case strings.ContainsAny(topic, "+#"):
		return fmt.Errorf("mqtt: %q stands for many topics, and two probes must not be read as one: name one topic", topic)
	case strings.ContainsRune(topic, 0) || len(topic) > 65535:
		return fmt.Errorf("mqtt: %q is no topic", topic)
	}
	return nil
}
