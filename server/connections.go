package server

import (
	"net"
	"sync"

	"kinorder.example/server/internal/gate"
)

// mostConnections is how many connections a listener has at once, however many files may be open.
const mostConnections = 4096

// LimitConnections closes connections of a listener at once that are more than a part of what the process
// may open, or come from an address that has half of them: whoever opens some and says nothing would
// otherwise keep everybody out.
func LimitConnections(lis net.Listener) net.Listener {
	// There are two listeners, and the store and the program itself open files too.
	return &limited{Listener: lis, most: min(mostConnections, max(mostFiles()-64, 32)/2)}
}

type limited struct {
	net.Listener
	most   int
	places gate.Places
}

func (l *limited) Accept() (net.Conn, error) {
	for {
		conn, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		leave, ok := l.places.Take(gate.Share{Of: "all", Most: l.most}, gate.Share{Of: gate.From(conn.RemoteAddr().String(), ""), Most: l.most / 2})
		if ok {
			return &counted{Conn: conn, leave: sync.OnceFunc(leave)}, nil
		}
		_ = conn.Close()
	}
}

// counted gives its place back when it is closed.
type counted struct {
	net.Conn
	leave func()
}

func (c *counted) Close() error {
	defer c.leave()
	return c.Conn.Close()
}

// connections are those that came over a listener and are open. gRPC waits at its end for everyone who has
// not finished to introduce itself.
type connections struct {
	mu     sync.Mutex
	open   map[*known]bool // true when it has said something
	ending bool            // no others are let in
}

// known is a connection of which is known whether it has said something.
type known struct {
	net.Conn
	all *connections
}

func (c *known) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	if n > 0 {
		c.all.mu.Lock()
		defer c.all.mu.Unlock()
		if _, open := c.all.open[c]; open {
			c.all.open[c] = true
		}
	}
	return n, err
}

func (c *known) Close() error {
	c.all.mu.Lock()
	delete(c.all.open, c)
	c.all.mu.Unlock()
	return c.Conn.Close()
}

// over is a listener whose connections are known.
type over struct {
	net.Listener
	all *connections
}

func (l over) Accept() (net.Conn, error) {
	for {
		conn, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		c := &known{conn, l.all}
		if l.all.add(c) {
			return c, nil
		}
		_ = conn.Close()
	}
}

func (c *connections) add(conn *known) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.open == nil {
		c.open = map[*known]bool{}
	}
	if !c.ending {
		c.open[conn] = false
	}
	return !c.ending
}

// closeSilent closes those that have said nothing, and lets no others in.
func (c *connections) closeSilent() { c.close(func(spoke bool) bool { return !spoke }) }

// closeAll closes all.
func (c *connections) closeAll() { c.close(func(bool) bool { return true }) }

func (c *connections) close(which func(spoke bool) bool) {
	c.mu.Lock()
	c.ending = true
	var list []net.Conn
	for conn, spoke := range c.open {
		if which(spoke) {
			list = append(list, conn.Conn)
		}
	}
	c.mu.Unlock()
	for _, conn := range list {
		_ = conn.Close() // whoever reads from it hears of it
	}
}
