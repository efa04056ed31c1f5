# Everything a change must pass, and the few other things worth a name.
# `make check` is what CI runs; it installs what the tests need where it can.

GO ?= go
LDFLAGS = -s -w
DESTDIR ?=
PREFIX ?= /usr/local

.PHONY: whole-way build check need fmt vet lint test fuzz cross tidy clean-tree properties foresight captured bench footprint viewers pictures install show-watchdog

build:
	CGO_ENABLED=0 $(GO) build -trimpath -ldflags '$(LDFLAGS)' -o dist/duskloop ./agent/duskloop

check:
	@.ci/check

need:
	@.ci/need

# The greenhouse's properties over ten times as many random plants as the check.
properties:
	GO=$(GO) .ci/properties 100000

# The search with the future known, over ten times as many random plants as the check.
foresight:
	$(GO) test -count=1 -timeout 2h -v -run '^TestImprovesAnyPlant$$' ./sim/foresight -plants 50

# What the plan captures on the three plants, believing ten draws of wrong figures; it
# means what it says only with DUSKLOOP_WEATHER naming a real year.
captured:
	$(GO) test -count=1 -timeout 2h -v -run '^TestPlanCaptures' ./agent -draws 10

# One simulated decision and one closed-loop step beside a bare loop, in one run.
bench:
	$(GO) test -run '^$$' -bench . -benchmem ./control ./control/night ./sim/plant ./sim/season
	$(GO) test -run '^$$' -bench . ./agent/page/access
	$(GO) test -run '^$$' -bench Size -benchtime 1x ./agent/duskloop
	$(GO) test -run '^$$' -bench Sets -benchtime 1x ./agent/tuning

# Fifty look at the page for five minutes, beside the same daemon left alone.
viewers:
	$(GO) test -count=1 -timeout 30m -v -run '^TestFiftyViewers$$' ./agent -viewed 5m

# From a simulated week to tuned settings against the running demo, as a grower goes it: five
# minutes, so not in the check (WHOLE_WAY=yes make check runs it there too).
whole-way:
	$(GO) test -count=1 -timeout 20m -v -run '^TestTheWholeWay$$' ./agent/duskloop

# The page in a browser; its pictures stay in dist/pictures.
pictures: need
	DUSKLOOP_SHOTS=$(CURDIR)/dist/pictures $(GO) test -count=1 -timeout 15m -v -run '^TestPage' ./agent/duskloop

# Sizes, idle memory and bytes written in an hour, measured here and now.
footprint:
	@.ci/footprint

install: build
	install -D -m 0755 dist/duskloop $(DESTDIR)$(PREFIX)/bin/duskloop
	install -D -m 0644 deploy/duskloop.service $(DESTDIR)/etc/systemd/system/duskloop.service
	install -D -m 0644 deploy/60-duskloop.rules $(DESTDIR)/etc/udev/rules.d/60-duskloop.rules
	install -D -m 0644 deploy/duskloop.sysusers $(DESTDIR)/usr/lib/sysusers.d/duskloop.conf
	install -d -m 0755 $(DESTDIR)/etc/duskloop
	test -e $(DESTDIR)/etc/duskloop/greenhouse.toml || dist/duskloop check --example > $(DESTDIR)/etc/duskloop/example.toml

# The unit's watchdog against a daemon that stands still, under a real systemd in
# a namespace of its own (needs root; see deploy/README.md).
show-watchdog: build
	@deploy/show-watchdog
