# Waterleaf: build, demonstrate, test, measure.
#
#   make          the program, build/waterleaf, and what sets pages for it, build/waterleaf-pages
#   make demo     installs what is missing, builds, writes a batch sheet of an example
#   make test     installs what is missing, builds, runs all tests
#   make check-full   the same, and what takes longer
#   make bench    speed, as ratios against other programs in the same run
#   make cover    which branches of the sources the tests take
#   make fuzz     the fuzzer, until it is stopped
#   make pictures the pages that examples/README.md shows
#   make install, make uninstall   below PREFIX (/usr/local), with DESTDIR in front; make deb: as a Debian package

CC      ?= gcc
CFLAGS  ?= -O2 -g
# One file that runs anywhere, and starts a third sooner than one that is put together when it starts.
LDFLAGS ?= -static
# What sets pages stands on Pango and Cairo, which are large: a program of its own. (librsvg it opens only where it is needed.)
PAGES_FONTS ?= /usr/share/fonts/truetype
PAGES_FLAGS = -DPAGES_FONTS='"$(PAGES_FONTS)"' $(subst -I,-isystem ,$(shell pkg-config --cflags cairo pangocairo pangofc fontconfig librsvg-2.0))
PAGES_LIBS  = $(shell pkg-config --libs cairo pangocairo pangofc fontconfig)
BUILD   := build
PREFIX  ?= /usr/local
GEN     := $(BUILD)/gen

WARN    := -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes -Werror
# Doubles are worked with as IEEE has them: no fused multiply and add.
# The same program wherever it is built.
BASE    := -std=c11 -D_GNU_SOURCE -ffp-contract=off "-ffile-prefix-map=$(CURDIR)=." -Isrc -I$(GEN) -I.

LAYERS  := base source syntax meaning reckoning rules documents render
LIB_SRC := $(foreach layer,$(LAYERS),$(wildcard src/$(layer)/*.c)) $(filter-out %_image.c,$(wildcard src/workshop*.c))
CMD_SRC := $(wildcard src/commands/*.c src/editor/*.c)
LIB_OBJ := $(LIB_SRC:src/%.c=$(BUILD)/obj/%.o) $(BUILD)/obj/gen/lexer.o $(BUILD)/obj/gen/parser.o
CMD_OBJ := $(CMD_SRC:src/%.c=$(BUILD)/obj/%.o)
PAGES_SRC := $(wildcard src/pages/*.c)
PAGES_OBJ := $(PAGES_SRC:src/%.c=$(BUILD)/obj/%.o) $(patsubst src/%.c,$(BUILD)/obj/%.o,$(wildcard src/base/*.c src/documents/document.c src/documents/code*.c src/render/shapes.c src/render/mark.c))
STDLIB  := $(sort $(shell find stdlib -name '*.wleaf'))

REFERENCE := $(BUILD)/manual/reference.html

all: $(BUILD)/waterleaf $(BUILD)/waterleaf-pages $(BUILD)/manual/waterleaf.bash $(BUILD)/manual/_waterleaf $(BUILD)/manual/waterleaf.fish $(BUILD)/manual/waterleaf.1 $(REFERENCE)

# ---- what is generated ----

$(GEN)/parser.c: grammar/parser.y grammar/words.def
	@mkdir -p $(GEN)
	@lemon -q -T/usr/share/lemon/lempar.c -d$(GEN) grammar/parser.y

$(GEN)/parser.h: $(GEN)/parser.c

$(GEN)/words.re: grammar/words.def
	@mkdir -p $(GEN)
	@sed -n 's/^\(WORD\|SIGN\)(\([A-Z_]*\), \("[^"]*"\)).*/    \3 { *end = cursor; return TOKEN_\2; }/p' $< > $@

$(GEN)/heads.re: grammar/words.def
	@mkdir -p $(GEN)
	@sed -n 's/^HEAD(\([A-Z_]*\), \("[^"]*"\)).*/    \2 { *end = cursor; return SCAN_HEAD_\1; }/p' $< > $@

$(GEN)/lexer.c: grammar/lexer.re $(GEN)/words.re $(GEN)/heads.re
	@re2c -W -Werror -b --no-generation-date --no-version --input-encoding utf8 -I $(GEN) -o $@ $<
	@chmod 644 $@

$(BUILD)/obj/gen/%.o: $(GEN)/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CFLAGS) -Wall -Wno-unused -MMD -c -o $@ $<

$(BUILD)/obj/commands/main.o $(BUILD)/checked/commands/main.o $(BUILD)/make-manual: $(GEN)/start.def

$(BUILD)/obj/%.o: src/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CFLAGS) $(WARN) -MMD -c -o $@ $<

# ---- stdlib, checked, as an image within the program ----

$(BUILD)/make-image: $(BUILD)/obj/make_image.o $(LIB_OBJ)
	@$(CC) $(CFLAGS) -o $@ $^ -lm

$(GEN)/stdlib.image $(GEN)/start.texts &: $(BUILD)/make-image $(STDLIB)
	@$(BUILD)/make-image stdlib $(GEN)/stdlib.image $(GEN)/start.texts

$(BUILD)/obj/workshop_image.o: $(GEN)/stdlib.image $(GEN)/start.texts

# What `start` asks is in stdlib, and so are its options; those that the list of options has for others, too, stand there.
$(GEN)/start.def: $(wildcard stdlib/start/*.wleaf) src/commands/options.def src/commands/start.awk
	@mkdir -p $(GEN)
	@awk -f src/commands/start.awk src/commands/options.def stdlib/start/mill.wleaf $(wildcard stdlib/start/*.wleaf) > $@.new && mv $@.new $@

$(BUILD)/waterleaf: $(CMD_OBJ) $(LIB_OBJ) $(BUILD)/obj/workshop_image.o
	@$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ -ljansson -lm

$(BUILD)/obj/pages/%.o: src/pages/%.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(PAGES_FLAGS) $(CFLAGS) $(WARN) -MMD -c -o $@ $<

$(BUILD)/waterleaf-pages: $(PAGES_OBJ)
	@$(CC) $(CFLAGS) -o $@ $^ $(PAGES_LIBS) -lm

# ---- completions and the manual page, from the lists of commands and options ----

SHELLS := $(BUILD)/manual/waterleaf.bash $(BUILD)/manual/_waterleaf $(BUILD)/manual/waterleaf.fish
$(BUILD)/make-manual: src/make_manual.c src/commands/commands.def src/commands/options.def
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CFLAGS) $(WARN) -o $@ $<

$(BUILD)/manual/waterleaf.bash: FORM = bash
$(BUILD)/manual/_waterleaf: FORM = zsh
$(BUILD)/manual/waterleaf.fish: FORM = fish
$(BUILD)/manual/waterleaf.1: FORM = man
$(SHELLS) $(BUILD)/manual/waterleaf.1: $(BUILD)/make-manual
	@mkdir -p $(@D)
	@$(BUILD)/make-manual $(FORM) > $@.new && mv $@.new $@

# ---- the reference, from what the program knows and what the tests hold ----

$(BUILD)/make-reference: $(patsubst src/%.c,$(BUILD)/obj/%.o,$(wildcard src/reference/*.c)) $(LIB_OBJ) $(BUILD)/obj/workshop_image.o
	@$(CC) $(CFLAGS) -o $@ $^ -ljansson -lm

$(GEN)/grammar.txt: grammar/readable.awk grammar/words.def grammar/parser.y
	@mkdir -p $(GEN)
	@awk -f $^ > $@

$(REFERENCE): $(BUILD)/make-reference $(GEN)/grammar.txt grammar/README.md $(wildcard tests/messages/*.txt tests/messages/*.wleaf grammar/schemas/*.json)
	@mkdir -p $(@D)
	@$(BUILD)/make-reference . $(GEN)/grammar.txt $(@D)

reference: $(REFERENCE)

# ---- what it shows, and how it is tested ----

demo:
	@.ci/packages build
	@$(MAKE) --no-print-directory all
	@$(BUILD)/waterleaf write batch-sheet examples/botanical.wleaf BR-047 -o $(BUILD)/BR-047.txt
	@$(BUILD)/waterleaf write batch-sheet examples/botanical.wleaf BR-047 -o $(BUILD)/BR-047.html
	@$(BUILD)/waterleaf write batch-sheet examples/botanical.wleaf BR-047 -o $(BUILD)/BR-047.pdf
	@head -n 60 $(BUILD)/BR-047.txt
	@echo
	@echo "The whole batch sheet: $(BUILD)/BR-047.txt, and to print: $(BUILD)/BR-047.pdf (or BR-047.html)"

test:
	@.ci/packages test
	@$(MAKE) --no-print-directory -j2 tested
	@tests/run

check-full:
	@.ci/packages full
	@.ci/packages browser
	@$(MAKE) --no-print-directory -j2 tested
	@tests/run --full

bench:
	@.ci/packages bench
	@$(MAKE) --no-print-directory -j2 $(BUILD)/waterleaf $(BUILD)/waterleaf-pages $(BUILD)/tests/generate $(BUILD)/tests/measure
	@tests/bench/bench.sh

# In turns, ten minutes each, until it is stopped; or with TARGET=NAME one of them, for MINUTES.
FUZZ_TARGETS := lexer tidy whole carried pages framing session
MINUTES ?= 10
fuzz:
	@.ci/packages fuzz
	@$(MAKE) --no-print-directory -j2 $(if $(TARGET),$(BUILD)/tests/fuzz-$(TARGET),$(FUZZ_TARGETS:%=$(BUILD)/tests/fuzz-%)) $(BUILD)/fuzz/words.dict
	@tests/fuzz/fuzz $(MINUTES) $(if $(TARGET),--once $(TARGET),$(FUZZ_TARGETS))

# Of what was found for TARGET, the few inputs that the tests replay.
fuzz-keep: $(BUILD)/fuzz/keep-$(TARGET)
	@$< tests/fuzz/corpus/$(TARGET) $(BUILD)/fuzz/$(TARGET) 58 140000

# ---- where it is put: make install [PREFIX=…] [DESTDIR=…], make uninstall, make deb ----

$(BUILD)/libwaterleaf.a: $(LIB_OBJ) $(BUILD)/obj/workshop_image.o
	@rm -f $@; ar rcsD $@ $^

VERSION := $(shell sed -n 's/.*COMMAND_VERSION "\(.*\)".*/\1/p' src/commands/command.h)
$(BUILD)/waterleaf.pc: Makefile src/commands/command.h
	@printf '%s\n' 'prefix=$(PREFIX)' 'Name: waterleaf' 'Description: procedures of a hand paper mill: read, checked, worked out' 'Version: $(VERSION)' \
	    'Cflags: -I$${prefix}/include/waterleaf' 'Libs: -L$${prefix}/lib -lwaterleaf -lm' > $@

# MODE:WHAT:WHERE below PREFIX
HEADERS = $(sort $(filter src/%,$(shell $(CC) $(BASE) -MM src/waterleaf.h)))
PLACED  = 755:$(BUILD)/waterleaf:bin/waterleaf 755:$(BUILD)/waterleaf-pages:libexec/waterleaf/waterleaf-pages \
    644:$(BUILD)/manual/waterleaf.1:share/man/man1/waterleaf.1 \
    644:$(BUILD)/manual/waterleaf.bash:share/bash-completion/completions/waterleaf \
    644:$(BUILD)/manual/_waterleaf:share/zsh/site-functions/_waterleaf \
    644:$(BUILD)/manual/waterleaf.fish:share/fish/vendor_completions.d/waterleaf.fish \
    $(foreach page,language units steps things figures rules documents messages formats,644:$(BUILD)/manual/waterleaf-$(page).7:share/man/man7/waterleaf-$(page).7) \
    644:$(REFERENCE):share/doc/waterleaf/reference.html $(foreach schema,$(wildcard grammar/schemas/*.json),644:$(schema):share/waterleaf/schemas/$(notdir $(schema))) \
    644:$(BUILD)/libwaterleaf.a:lib/libwaterleaf.a 644:$(BUILD)/waterleaf.pc:lib/pkgconfig/waterleaf.pc \
    $(foreach header,$(HEADERS),644:$(header):include/waterleaf/$(header:src/%=%))

install: all $(BUILD)/libwaterleaf.a
	@$(MAKE) --no-print-directory -B $(BUILD)/waterleaf.pc
	@for placed in $(PLACED); do where=$${placed##*:}; what=$${placed#*:}; what=$${what%:*}; \
	    install -D -m $${placed%%:*} $$what "$(DESTDIR)$(PREFIX)/$$where" || exit 1; done

uninstall:
	@for placed in $(PLACED); do rm -f "$(DESTDIR)$(PREFIX)/$${placed##*:}" || exit 1; done
	@for folder in include/waterleaf/documents include/waterleaf/base include/waterleaf/source include/waterleaf/syntax include/waterleaf/meaning \
	    include/waterleaf/reckoning include/waterleaf libexec/waterleaf share/doc/waterleaf share/waterleaf/schemas share/waterleaf; do \
	    [ ! -d "$(DESTDIR)$(PREFIX)/$$folder" ] || rmdir --ignore-fail-on-non-empty "$(DESTDIR)$(PREFIX)/$$folder"; done

deb: all $(BUILD)/libwaterleaf.a
	@VERSION=$(VERSION) .ci/deb $(BUILD)

# What examples/README.md shows: some of the printed pages, in grey.
SHOWN := examples/pages
pictures: all
	@mkdir -p $(SHOWN) $(BUILD)/shown
	@for document in batch-sheet spec-sheet labels; do \
	    $(BUILD)/waterleaf write $$document examples/botanical.wleaf BR-047 -o $(BUILD)/shown/$$document.pdf && \
	    pdftoppm -png -gray -r 56 $(BUILD)/shown/$$document.pdf $(BUILD)/shown/$$document || exit 1; done
	@$(BUILD)/waterleaf write chemical-labels examples/binders-laid.wleaf BL-3 -o $(BUILD)/shown/chemical-labels.pdf
	@pdftoppm -png -gray -r 56 $(BUILD)/shown/chemical-labels.pdf $(BUILD)/shown/chemical-labels
	@cp $(BUILD)/shown/batch-sheet-01.png $(BUILD)/shown/batch-sheet-04.png $(BUILD)/shown/batch-sheet-06.png $(BUILD)/shown/batch-sheet-13.png \
	    $(BUILD)/shown/spec-sheet-1.png $(BUILD)/shown/labels-1.png $(BUILD)/shown/chemical-labels-1.png $(SHOWN)

# A folder of src includes only itself and those in front of it.
layers:
	@tests/layers

clean:
	rm -rf $(BUILD)

# ---- test programs: the library once more, under the sanitizers ----

CHECKED     := -O1 -g -DWATERLEAF_STRESS -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
CHECKED_OBJ := $(LIB_SRC:src/%.c=$(BUILD)/checked/%.o) $(BUILD)/checked/gen/lexer.o $(BUILD)/checked/gen/parser.o
UNIT_TESTS  := $(patsubst tests/unit/%.c,$(BUILD)/tests/unit/%,$(wildcard tests/unit/test_*.c))
WHOLE_TESTS := $(patsubst tests/%.c,$(BUILD)/tests/%,$(wildcard tests/golden/*.c tests/messages/*.c tests/properties/*.c \
                tests/faults/*.c tests/stress/*.c tests/outside/*.c tests/editor/*.c tests/editor/tree-sitter/*.c \
                tests/rules/*.c tests/grammar/*.c))

PAGES_CHECKED := $(PAGES_OBJ:$(BUILD)/obj/%=$(BUILD)/checked/%)

tested: all $(BUILD)/waterleaf-pages $(BUILD)/tests/waterleaf $(UNIT_TESTS) $(WHOLE_TESTS) $(BUILD)/tests/replay \
        $(BUILD)/tests/waterleaf-pages $(BUILD)/tests/pages/quiet $(BUILD)/tests/pages/made \
        $(BUILD)/tests/faulty/waterleaf $(BUILD)/tests/faulty/waterleaf-pages $(BUILD)/tests/faulty/failing.so $(BUILD)/tests/second/amounts $(BUILD)/libwaterleaf.a

$(BUILD)/checked/gen/%.o: $(GEN)/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CHECKED) -Wall -Wno-unused -MMD -c -o $@ $<

$(BUILD)/checked/%.o: src/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CHECKED) $(WARN) -MMD -c -o $@ $<

$(BUILD)/checked/workshop_image.o: $(GEN)/stdlib.image $(GEN)/start.texts

$(BUILD)/checked/library.a: $(CHECKED_OBJ) $(BUILD)/checked/workshop_image.o
	@rm -f $@; ar rcs $@ $^

# The program itself under the sanitizers, for whoever speaks to it over pipes.
$(BUILD)/tests/waterleaf: $(CMD_SRC:src/%.c=$(BUILD)/checked/%.o) $(BUILD)/checked/library.a
	@mkdir -p $(@D)
	@$(CC) $(CHECKED) -o $@ $^ -ljansson -lm

$(BUILD)/tests/%: tests/%.c $(BUILD)/checked/library.a $(wildcard tests/*.h tests/unit/*.h tests/rules/*.h)
	@mkdir -p $(@D)
	@$(CC) $(BASE) -Itests -Itests/unit $(CHECKED) -Wall -Wextra -Wno-unused-function -o $@ $< $(BUILD)/checked/library.a -lcmocka -lgsl -lgslcblas -ljansson -lm

# It has a parser of its own, which counts; what Lemon writes has unused variables.
$(BUILD)/tests/grammar/grammar: tests/grammar/grammar.c $(GEN)/parser.c $(BUILD)/checked/library.a $(wildcard tests/*.h tests/unit/*.h)
	@mkdir -p $(@D)
	@$(CC) $(BASE) -Itests -Itests/unit $(CHECKED) -Wall -Wextra -Wno-unused -Wno-unused-parameter -o $@ $< $(BUILD)/checked/library.a -lm

# It judges some thousands of scripts, each with stdlib read anew: without the sanitizers, which the others have.
$(BUILD)/tests/rules/mutants: tests/rules/mutants.c $(LIB_OBJ) $(BUILD)/obj/workshop_image.o $(wildcard tests/*.h tests/rules/*.h)
	@mkdir -p $(@D)
	@$(CC) $(BASE) -Itests $(CFLAGS) -Wall -Wextra -Wno-unused-function -o $@ $< $(LIB_OBJ) $(BUILD)/obj/workshop_image.o -lcmocka -lgsl -lgslcblas -lm

# It works out a hundred thousand papers, in many processes: without the sanitizers, too.
$(BUILD)/tests/second/amounts: tests/second/amounts.c $(LIB_OBJ) $(BUILD)/obj/workshop_image.o
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CFLAGS) -Wall -Wextra -o $@ $^ -lm

# The programs as they are, but put together when they start, so that a library loaded before them can let any call fail.
$(BUILD)/tests/faulty/waterleaf: $(CMD_OBJ) $(LIB_OBJ) $(BUILD)/obj/workshop_image.o
	@mkdir -p $(@D)
	@$(CC) $(CFLAGS) -o $@ $^ -ljansson -lm

$(BUILD)/tests/faulty/waterleaf-pages: $(BUILD)/waterleaf-pages
	@mkdir -p $(@D)
	@cp $< $@

$(BUILD)/tests/faulty/failing.so: tests/faults/preloaded/failing.c tests/faults/failing.h
	@mkdir -p $(@D)
	@$(CC) -std=c11 -D_GNU_SOURCE -O1 -fno-builtin -fPIC -shared -Wall -Wextra -o $@ $<

$(BUILD)/tests/faults/programs: tests/faults/programs.c tests/faults/failing.h tests/check.h tests/folder.h
	@mkdir -p $(@D)
	@$(CC) -std=c11 -D_GNU_SOURCE -Itests -O1 -Wall -Wextra -Wno-unused-function -o $@ $<

# What the targets of the fuzzer ask beside the library: the commands and what sets pages, without their mains.
FUZZ_AROUND := $(patsubst src/%.c,%.o,$(filter-out src/commands/main.c,$(CMD_SRC)) $(filter-out src/pages/main.c src/pages/stop.c,$(PAGES_SRC)))

$(BUILD)/checked/around.a: $(FUZZ_AROUND:%=$(BUILD)/checked/%)
	@rm -f $@; ar rcs $@ $^

$(BUILD)/tests/replay: tests/fuzz/replay.c $(FUZZ_TARGETS:%=tests/fuzz/fuzz_%.c) $(wildcard tests/fuzz/*.h) tests/folder.h src/pages/main.c $(BUILD)/checked/around.a $(BUILD)/checked/library.a
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(PAGES_FLAGS) $(CHECKED) -Wall -Wextra -Wno-unused-function -o $@ $(filter tests/fuzz/%.c %.a,$^) -ljansson $(PAGES_LIBS) -lm

FUZZED := -O1 -g -DWATERLEAF_STRESS -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer

$(BUILD)/fuzzed/gen/%.o: $(GEN)/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@clang $(BASE) $(FUZZED) -Wno-unused -MMD -c -o $@ $<

$(BUILD)/fuzzed/%.o: src/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@clang $(BASE) $(PAGES_FLAGS) $(FUZZED) -MMD -c -o $@ $<

$(BUILD)/fuzzed/workshop_image.o: $(GEN)/stdlib.image

$(BUILD)/fuzzed/library.a: $(LIB_SRC:src/%.c=$(BUILD)/fuzzed/%.o) $(BUILD)/fuzzed/gen/lexer.o $(BUILD)/fuzzed/gen/parser.o $(BUILD)/fuzzed/workshop_image.o $(FUZZ_AROUND:%=$(BUILD)/fuzzed/%)
	@rm -f $@; ar rcs $@ $^

# Two of the targets set pages.
FUZZ_SETS = $(filter pages whole,$*)
FUZZ_LINK = clang $(BASE) $(PAGES_FLAGS) -O1 -g -fsanitize=$(1),address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer -DTARGET=fuzz_$* -Wall -Wextra -Wno-unused-function \
    -o $@ $(sort $< tests/fuzz/fuzz_carried.c $(if $(FUZZ_SETS),tests/fuzz/fuzz_pages.c)) $(2) $(BUILD)/fuzzed/library.a -ljansson $(if $(FUZZ_SETS),$(PAGES_LIBS)) -lm
FUZZ_PARTS := tests/fuzz/fuzz_carried.c tests/fuzz/fuzz_pages.c src/pages/main.c $(wildcard tests/fuzz/*.h) $(BUILD)/fuzzed/library.a

$(BUILD)/tests/fuzz-%: tests/fuzz/fuzz_%.c tests/fuzz/entry.c $(FUZZ_PARTS)
	@mkdir -p $(@D)
	@$(call FUZZ_LINK,fuzzer,tests/fuzz/entry.c)

$(BUILD)/fuzz/keep-%: tests/fuzz/fuzz_%.c tests/fuzz/keep.c $(FUZZ_PARTS)
	@mkdir -p $(@D)
	@$(call FUZZ_LINK,fuzzer-no-link,tests/fuzz/keep.c)

# The reserved words and the signs, as libFuzzer reads them.
$(BUILD)/fuzz/words.dict: grammar/words.def
	@mkdir -p $(@D)
	@sed -n 's/^\(WORD\|SIGN\|HEAD\)([A-Z_]*, \("[^"]*"\)).*/\2/p' $< | sort -u | \
	    LC_ALL=C awk 'BEGIN { for (i = 128; i < 256; i++) hex[sprintf("%c", i)] = sprintf("\\x%02X", i) } { line = ""; \
	        for (i = 1; i <= length($$0); i++) { byte = substr($$0, i, 1); line = line (byte in hex ? hex[byte] : byte) } print line }' > $@

$(BUILD)/checked/pages/%.o: src/pages/%.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(PAGES_FLAGS) $(CHECKED) $(WARN) -MMD -c -o $@ $<

$(BUILD)/tests/waterleaf-pages: $(PAGES_CHECKED) tests/pages/options.c
	@mkdir -p $(@D)
	@$(CC) $(CHECKED) -o $@ $^ $(PAGES_LIBS) -lm

$(BUILD)/tests/pages/quiet: tests/pages/quiet.c
	@mkdir -p $(@D)
	@$(CC) -std=c11 -D_GNU_SOURCE -O1 -Wall -Wextra -o $@ $<

$(BUILD)/tests/generate: tests/bench/generate.c
	@mkdir -p $(@D)
	@$(CC) -std=c11 -D_GNU_SOURCE -O2 -Wall -Wextra -o $@ $< -lm

$(BUILD)/tests/measure: tests/bench/measure.c $(LIB_OBJ) $(BUILD)/obj/workshop_image.o
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CFLAGS) -Wall -Wextra -o $@ $^ -lm

# The program builds without the tests, too.
-include tests/coverage/cover.mk
-include tests/mutation/mutation.mk

-include $(shell find $(BUILD)/obj $(BUILD)/checked $(BUILD)/fuzzed -name '*.d' 2>/dev/null)

.PHONY: all reference demo test check-full bench fuzz fuzz-keep install uninstall deb pictures layers clean tested
