; A block folds into its first line.
(block) @fold
