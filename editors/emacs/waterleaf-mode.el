;;; waterleaf-mode.el --- Scripts of a hand paper mill -*- lexical-binding: t -*-
;; Put this folder on the load-path and (require 'waterleaf-mode); scripts ending in .wleaf then open in it.
;; With Emacs 29 or later M-x eglot starts the language server.

(defconst waterleaf-reserved
  '("at" "for" "to" "with" "of" "on" "from" "into" "until" "per" "within" "after" "before" "over" "under" "one-of" "as" "in" "about" "between" "by" "none" "each" "when" "is" "not" "and" "or" "else" "shown" "source" "practice" "memory" "supplier" "measured" ) ; reserved-words
  "The reserved words of the language.")

(defvar waterleaf-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?# "<" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?\" "\"" table)
    (modify-syntax-entry ?- "_" table)
    table))

(defvar waterleaf-font-lock
  `(("^[ \t]*end\\_>" . font-lock-keyword-face)
    ("^[ \t]*\\([[:alpha:]][[:alnum:]-]*\\)" 1 font-lock-function-name-face)
    (,(concat "\\_<" (regexp-opt waterleaf-reserved t) "\\_>") . font-lock-keyword-face)
    ("\\_<[0-9]\\{4\\}-[0-9][0-9]-[0-9][0-9]\\_>" . font-lock-constant-face)
    ("\\_<-?[0-9][0-9_]*\\(?:\\.[0-9]+\\)?" . font-lock-constant-face)))

(defun waterleaf-indent-line ()
  "Two blanks for each block that is open."
  (interactive)
  (let ((depth 0) (ends nil))
    (save-excursion
      (beginning-of-line)
      (setq ends (looking-at "[ \t]*end\\_>"))
      (let ((here (point)))
        (goto-char (point-min))
        (while (< (point) here)
          (cond ((looking-at "[ \t]*#") nil)
                ((looking-at "[ \t]*end\\_>") (setq depth (max 0 (1- depth))))
                ((looking-at "[^#\n]*:[ \t]*\\(#.*\\)?$") (setq depth (1+ depth))))
          (forward-line 1))))
    (indent-line-to (* 2 (max 0 (if ends (1- depth) depth))))))

;;;###autoload
(define-derived-mode waterleaf-mode prog-mode "Waterleaf"
  "Scripts of a hand paper mill."
  (setq-local comment-start "# ")
  (setq-local comment-start-skip "#+ *")
  (setq-local indent-tabs-mode nil)
  (setq-local indent-line-function #'waterleaf-indent-line)
  (setq-local font-lock-defaults '(waterleaf-font-lock)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.wleaf\\'" . waterleaf-mode))

(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs '(waterleaf-mode . ("waterleaf" "lsp"))))

(provide 'waterleaf-mode)
;;; waterleaf-mode.el ends here
