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

;; The board, in letters, in a window of its own.

(defvar gainsay--board-buffer "*gainsay board*"
  "The name of the buffer that shows the board.")

(defun gainsay--ask (command &rest more)
  "The server's answer to COMMAND about point, with MORE arguments."
  (let* ((params (eglot--TextDocumentPositionParams))
         (uri (plist-get (plist-get params :textDocument) :uri)))
    (jsonrpc-request (eglot--current-server-or-lose) :workspace/executeCommand
                     (list :command command
                           :arguments (vconcat (list uri (plist-get params :position)) more)))))

(defun gainsay--draw (board)
  "Show BOARD, an answer of the server, in the board's buffer."
  (with-current-buffer (get-buffer-create gainsay--board-buffer)
    (let ((inhibit-read-only t))
      (erase-buffer)
      (if (null board)
          (insert "There is no position here.\n")
        (let ((move (plist-get board :move)))
          (insert (if move (concat "After " move) "Position") "\n"
                  (plist-get board :summary) "\n\n"))
        (mapc (lambda (line) (insert line "\n")) (plist-get board :text)))
      (goto-char (point-min)))
    (special-mode)))

(defvar-local gainsay--drawn nil
  "The place and the text that the board was drawn for.")

(defun gainsay--follow ()
  "Draw the board anew where point has moved."
  (let ((here (cons (point) (buffer-chars-modified-tick))))
    (when (and (not (equal here gainsay--drawn))
               (get-buffer-window gainsay--board-buffer)
               (eglot-current-server))
      (setq gainsay--drawn here)
      (gainsay--draw (gainsay--ask "gainsay.board")))))

;;;###autoload
(defun gainsay-board ()
  "Show the position at point in a window beside the text, which follows point."
  (interactive)
  (gainsay--draw (gainsay--ask "gainsay.board"))
  (display-buffer gainsay--board-buffer
                  '(display-buffer-in-side-window (side . right) (window-width . 24)))
  (gainsay-step-mode 1)
  (add-hook 'post-command-hook #'gainsay--follow nil t))

(defun gainsay--step (direction)
  "Go to the move in DIRECTION of the line at point."
  (let* ((board (gainsay--ask "gainsay.step" direction))
         (place (plist-get board :position)))
    (if (null board)
        (message (if (member direction '("next" "end"))
                     "The last move of this line"
                   "The first move of this line"))
      (goto-char (eglot--lsp-position-to-point place))
      (when (get-buffer gainsay--board-buffer)
        (gainsay--draw board)))))

(defun gainsay-next-move ()
  "Go to the next move of the line at point: of the game, or cited in words."
  (interactive)
  (gainsay--step "next"))

(defun gainsay-previous-move ()
  "Go to the previous move of the line at point."
  (interactive)
  (gainsay--step "previous"))

(defun gainsay-line-start ()
  "Go to the start of the line at point."
  (interactive)
  (gainsay--step "start"))

(defun gainsay-line-end ()
  "Go to the end of the line at point."
  (interactive)
  (gainsay--step "end"))

(defvar gainsay-step-mode-map
  (let ((map (make-sparse-keymap)))
    (define-key map (kbd "C-c C-n") #'gainsay-next-move)
    (define-key map (kbd "C-c C-p") #'gainsay-previous-move)
    (define-key map (kbd "C-c C-a") #'gainsay-line-start)
    (define-key map (kbd "C-c C-e") #'gainsay-line-end)
    map)
  "Keys of `gainsay-step-mode'.")

(define-minor-mode gainsay-step-mode
  "Keys that step from move to move along the line at point."
  :keymap gainsay-step-mode-map)

;;;###autoload
(defun gainsay-check ()
  "Check this buffer, whatever its mode: a manuscript, for example."
  (interactive)
  (let ((eglot-server-programs
         (cons (cons major-mode #'gainsay--contact) eglot-server-programs)))
    (call-interactively #'eglot)))

(provide 'gainsay)
;;; gainsay.el ends here
