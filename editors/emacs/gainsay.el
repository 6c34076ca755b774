;;; gainsay.el --- Check annotated chess games -*- lexical-binding: t -*-

;; Needs Emacs 29, or an older one with eglot from GNU ELPA.
;; SPDX-License-Identifier: GPL-3.0-or-later

;;; Commentary:

;; A mode for game files that starts the language server of gainsay through eglot.

;;; Code:

(require 'eglot)

(defgroup gainsay nil
  "Check annotated chess games."
  :group 'text)

(defcustom gainsay-command '("gainsay" "serve")
  "The command that starts the language server."
  :type '(repeat string))

(defcustom gainsay-settings nil
  "Settings as a property list, with the keys of gainsay.toml.
For example (:nodes 1000000 :rules (:missing-roster-tag \"off\"))."
  :type 'plist)

(defvar gainsay-pgn-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?\{ "<" table)
    (modify-syntax-entry ?\} ">" table)
    (modify-syntax-entry ?\" "\"" table)
    (modify-syntax-entry ?\( "()" table)
    (modify-syntax-entry ?\) ")(" table)
    table)
  "Comments in braces, values of tags in quotes.")

;;;###autoload
(define-derived-mode gainsay-pgn-mode text-mode "PGN"
  "Mode for chess games in portable game notation."
  (setq-local comment-start "{")
  (setq-local comment-end "}")
  (setq-local font-lock-defaults
              '((("^\\[\\([A-Za-z0-9_]+\\)" 1 font-lock-keyword-face)
                 ("\\$[0-9]+\\|[!?]+" . font-lock-builtin-face)
                 ("\\b\\(1-0\\|0-1\\|1/2-1/2\\)" . font-lock-constant-face)))))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.pgn\\'" . gainsay-pgn-mode))

(defun gainsay--contact (&rest _)
  "The command with its settings."
  (append gainsay-command
          (when gainsay-settings
            (list :initializationOptions gainsay-settings))))

(add-to-list 'eglot-server-programs '(gainsay-pgn-mode . gainsay--contact))

(provide 'gainsay)
;;; gainsay.el ends here
