# Whether a slip in the numeric core would be noticed (mutate.py): the library is built as one that is shared, so that of each changed
# copy only one file is compiled anew, and no test.
#
#   make mutate                 each operator and constant, by the slow tests too: hours
#   make mutate SAMPLE=40       so many, drawn by a seed
#   make mutate ONLY=solve.c    those of some files; QUICK='--quick --plain': by the quick tests, without the sanitizers
#   make mutate-core            all, by the quick tests alone: nothing survives

MUTATED_CORE  := stdlib/figures/ src/reckoning/

MUTATION      := $(BUILD)/mutation
MUTATED       := -O1 -g0 -fPIC
MUTATION_OBJ  := $(LIB_SRC:src/%.c=$(MUTATION)/obj/%.o) $(MUTATION)/obj/gen/lexer.o $(MUTATION)/obj/gen/parser.o $(MUTATION)/obj/workshop_image.o
# The unit tests that are asked, those of a file of src/reckoning and others.
MUTATION_UNIT := comparison documents items pictures units $(foreach name,$(basename $(notdir $(wildcard src/reckoning/*.c))),$(if $(wildcard tests/unit/test_$(name).c),$(name)))
MUTATION_RUN  := $(patsubst %,$(MUTATION)/tests/%,golden/golden messages/messages messages/limits second/amounts properties/chain properties/balance properties/weighing \
                  properties/what_if properties/units rules/examples rules/limits rules/faults rules/proposals rules/acceptance outside/figures outside/binomial \
                  $(MUTATION_UNIT:%=unit/test_%)) $(MUTATION)/waterleaf

MUTATED_BY    = --compile "$(CC) $(BASE) $(MUTATED)" --checked "$(CC) $(BASE) $(CHECKED)"

mutation: $(MUTATION)/libwaterleaf.so $(MUTATION_RUN) $(BUILD)/make-image $(MUTATION)/checked/golden/golden.o \
          $(MUTATION_UNIT:%=$(MUTATION)/checked/unit/test_%.o) $(BUILD)/checked/library.a

mutate: mutation
	@tests/mutation/mutate.py $(MUTATED_BY) $(QUICK) $(if $(SAMPLE),--sample $(SAMPLE)) $(ONLY)

mutate-core: mutation
	@tests/mutation/mutate.py $(MUTATED_BY) --quick $(MUTATED_CORE)

$(MUTATION)/obj/gen/%.o: $(GEN)/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(MUTATED) -Wall -Wno-unused -MMD -c -o $@ $<

$(MUTATION)/obj/%.o: src/%.c $(GEN)/parser.h $(GEN)/lexer.c
	@mkdir -p $(@D)
	@$(CC) $(BASE) $(MUTATED) $(WARN) -MMD -c -o $@ $<

$(MUTATION)/obj/workshop_image.o: $(GEN)/stdlib.image

$(MUTATION)/libwaterleaf.so: $(MUTATION_OBJ)
	@$(CC) -shared -o $@ $^ -lm

$(MUTATION)/waterleaf: $(CMD_SRC:src/%.c=$(MUTATION)/obj/%.o) $(MUTATION)/libwaterleaf.so
	@$(CC) -o $@ $(filter %.o,$^) -L$(MUTATION) -lwaterleaf -ljansson -lm

$(MUTATION)/checked/%.o: tests/%.c $(GEN)/parser.h $(GEN)/lexer.c $(wildcard tests/*.h tests/unit/*.h)
	@mkdir -p $(@D)
	@$(CC) $(BASE) -Itests -Itests/unit $(CHECKED) -Wall -Wextra -Wno-unused-function -c -o $@ $<

$(MUTATION)/tests/%: tests/%.c $(MUTATION)/libwaterleaf.so $(wildcard tests/*.h tests/unit/*.h tests/rules/*.h)
	@mkdir -p $(@D)
	@$(CC) $(BASE) -Itests -Itests/unit -O1 -Wall -Wextra -Wno-unused-function -o $@ $< -L$(MUTATION) -lwaterleaf -lcmocka -lgsl -lgslcblas -ljansson -lm

-include $(shell find $(MUTATION)/obj -name '*.d' 2>/dev/null)

.PHONY: mutation mutate mutate-core
