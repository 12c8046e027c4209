/* The tree of a script: its beginning. */
#include "syntax/tree.h"

void tree_open(Tree *tree, Memory *memory)
{
    *tree = (Tree){0};
    list_add(memory, &tree->nodes);
    list_add(memory, &tree->numbers);
    list_add(memory, &tree->scripts);
}
