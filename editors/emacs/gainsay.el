;;; gainsay.el --- Check annotated chess games -*- lexical-binding: t -*-

;; Needs Emacs 29, or an older one with eglot from GNU ELPA.
;; SPDX-License-Identifier: GPL-3.0-or-later

;;; Commentary:

;; Modes for game files and positions that start the language server of gainsay through
;; eglot, and a command that starts it for manuscripts.

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
They go before that file, key by key.  For example
\(:closedFiles \"pushed\" :rules (:missing-roster-tag \"off\"))."
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
(define-derived-mode gainsay-epd-mode text-mode "EPD"
  "Mode for chess positions, one a line."
  (setq-local font-lock-defaults
              '((("\\b\\([A-Za-z][A-Za-z0-9_]*\\) [^;]*;" 1 font-lock-keyword-face)
                 ("^[KQRBNPkqrbnp1-8/]+" . font-lock-constant-face)))))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.pgn\\'" . gainsay-pgn-mode))
;;;###autoload
(add-to-list 'auto-mode-alist '("\\.\\(?:epd\\|fen\\)\\'" . gainsay-epd-mode))

(defun gainsay--contact (&rest _)
  "The command with its settings."
  (append gainsay-command
          (when gainsay-settings
            (list :initializationOptions gainsay-settings))))

;; The modes name no language for the server: older versions of eglot would tell it the
;; first one's for all files. It goes by the file's name then.
(add-to-list 'eglot-server-programs
             '((gainsay-pgn-mode gainsay-epd-mode) . gainsay--contact))

;;;###autoload
(defun gainsay-check ()
  "Check this buffer, whatever its mode: a manuscript, for example."
  (interactive)
  (let ((eglot-server-programs
         (cons (cons major-mode #'gainsay--contact) eglot-server-programs)))
    (call-interactively #'eglot)))

(provide 'gainsay)
;;; gainsay.el ends here
