# Which branches of the sources the tests take. `make cover` builds the library and the commands once more, so that they
# count (build/cover), runs the tests that use them, and holds the share of each file against least.tsv, which only rises:
#
#   make cover            what is taken; fails where a file's share is lower than it was
#   make cover RAISE=1    and writes what is higher into least.tsv

COVER     := $(BUILD)/cover
COUNTED   := -O0 -g --coverage -fprofile-abs-path
COVER_LIB := $(LIB_SRC:src/%.c=$(COVER)/obj/%.o) $(COVER)/obj/gen/lexer.o $(COVER)/obj/gen/parser.o
COVER_OWN := $(patsubst $(BUILD)/tests/%,$(COVER)/tests/%,$(UNIT_TESTS) $(filter-out %/rules/mutants %/grammar/grammar,$(WHOLE_TESTS)))

cover: $(COVER)/waterleaf $(COVER)/tests/waterleaf $(COVER_OWN) \
       $(COVER)/tests/waterleaf-pages $(BUILD)/tests/pages/made $(BUILD)/tests/pages/quiet $(BUILD)/tests/second/amounts
	@tests/coverage/cover.sh $(if $(RAISE),--raise)

$(COVER)/obj/gen/%.o: $(GEN)/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) -O0 -g -Wall -Wno-unused -MMD -c -o $@ $<

$(COVER)/obj/%.o: src/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(COUNTED) $(WARN) -MMD -c -o $@ $<

$(COVER)/obj/pages/%.o: src/pages/%.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(PAGES_FLAGS) $(COUNTED) $(WARN) -MMD -c -o $@ $<

$(COVER)/waterleaf-pages: $(PAGES_OBJ:$(BUILD)/obj/%=$(COVER)/obj/%)
	@$(CC) $(COUNTED) -o $@ $^ $(PAGES_LIBS) -lm

$(COVER)/obj/workshop_image.o: $(GEN)/stdlib.image

$(COVER)/library.a: $(COVER_LIB) $(COVER)/obj/workshop_image.o
	@rm -f $@; ar rcs $@ $^

$(COVER)/waterleaf: $(CMD_SRC:src/%.c=$(COVER)/obj/%.o) $(COVER)/library.a
	@$(CC) $(COUNTED) -o $@ $^ -ljansson -lm

$(COVER)/tests/waterleaf $(COVER)/tests/waterleaf-pages: $(COVER)/tests/%: $(COVER)/%
	@mkdir -p $(@D)
	@ln -sf ../$* $@

$(COVER)/tests/%: tests/%.c $(COVER)/library.a $(wildcard tests/*.h tests/unit/*.h tests/rules/*.h)
	@mkdir -p $(@D)
	@$(CC) $(BASE) -Itests -Itests/unit -O0 -g -Wall -Wextra -Wno-unused-function -o $@ $< $(COVER)/library.a \
	    -lcmocka -lgsl -lgslcblas -ljansson -lm -lgcov

-include $(shell find $(COVER)/obj -name '*.d' 2>/dev/null)

.PHONY: cover
