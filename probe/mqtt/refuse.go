package mqtt

import (
	"errors"
	"fmt"
)

// What a broker may refuse. Errors of the handshake wrap one of these.
var (
	ErrLogin   = errors.New("the broker refuses user or password")
	ErrTopic   = errors.New("the broker refuses the topic")
	ErrVersion = errors.New("the broker does not speak this version of MQTT")
)

// RefusedError is a broker's refusal with its code.
type RefusedError struct {
	Kind error // one of the errors above, nil for another reason
	Code byte
}

func (e *RefusedError) Error() string {
	if e.Kind != nil {
		return fmt.Sprintf("%v (code %#02x)", e.Kind, e.Code)
	}
	return fmt.Sprintf("the broker refuses the connection (code %#02x)", e.Code)
}

// Unwrap returns the kind.
func (e *RefusedError) Unwrap() error { return e.Kind }

// connackError reads the answer to a connect packet (3.1.1, 3.2.2.3; 5.0,
// 3.2.2.2).
func connackError(p packet) error {
	if p.kind != typeConnack || len(p.body) < 2 {
		return errMalformed
	}
	code := p.body[1]
	switch code {
	case 0:
		return nil
	case 1, 0x84:
		return &RefusedError{ErrVersion, code}
	case 4, 5, 0x86, 0x87, 0x8c:
		return &RefusedError{ErrLogin, code}
	}
	return &RefusedError{nil, code}
}

// subackError reads the answer to a subscribe packet, whose last byte is the
// verdict on the one topic.
func subackError(p packet) error {
	if len(p.body) < 3 {
		return errMalformed
	}
	if code := p.body[len(p.body)-1]; code >= 0x80 {
		return &RefusedError{ErrTopic, code}
	}
	return nil
}
