# Waterleaf: build, demonstrate, test, measure.
#
#   make          the program, build/waterleaf
#   make demo     installs what is missing, builds, writes a batch sheet of an example
#   make test     installs what is missing, builds, runs all tests
#   make bench    speed, as ratios against other programs in the same run
#   make fuzz     the fuzzer, until it is stopped

CC      ?= gcc
CFLAGS  ?= -O2 -g
BUILD   := build
GEN     := $(BUILD)/gen

WARN    := -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes -Werror
# Doubles are worked with as IEEE has them: no fused multiply and add.
BASE    := -std=c11 -D_GNU_SOURCE -ffp-contract=off -Isrc -I$(GEN) -I.

LAYERS  := base source syntax meaning reckoning
LIB_SRC := $(foreach layer,$(LAYERS),$(wildcard src/$(layer)/*.c)) $(filter-out %_image.c,$(wildcard src/workshop*.c))
CMD_SRC := $(wildcard src/commands/*.c)
LIB_OBJ := $(LIB_SRC:src/%.c=$(BUILD)/obj/%.o) $(BUILD)/obj/gen/lexer.o $(BUILD)/obj/gen/parser.o
CMD_OBJ := $(CMD_SRC:src/%.c=$(BUILD)/obj/%.o)
STDLIB  := $(sort $(shell find stdlib -name '*.wleaf'))

all: $(BUILD)/waterleaf

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

$(BUILD)/obj/%.o: src/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(CFLAGS) $(WARN) -MMD -c -o $@ $<

# ---- stdlib, checked, as an image within the program ----

$(BUILD)/make-image: $(BUILD)/obj/make_image.o $(LIB_OBJ)
	@$(CC) $(CFLAGS) -o $@ $^ -lm

$(GEN)/stdlib.image: $(BUILD)/make-image $(STDLIB)
	@$(BUILD)/make-image stdlib $@

$(BUILD)/obj/workshop_image.o: $(GEN)/stdlib.image

$(BUILD)/waterleaf: $(CMD_OBJ) $(LIB_OBJ) $(BUILD)/obj/workshop_image.o
	@$(CC) $(CFLAGS) -o $@ $^ -lm

-include $(shell find $(BUILD)/obj -name '*.d' 2>/dev/null)

.PHONY: all demo test bench fuzz clean
clean:
	rm -rf $(BUILD)
