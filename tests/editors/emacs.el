;;; emacs.el --- See emacs.sh -*- lexical-binding: t -*-

(require 'flymake)
(require 'imenu)
(setq eglot-sync-connect 20
      eglot-autoshutdown nil
      eglot-confirm-server-initiated-edits nil)

(defun fail (&rest words)
  "Say WORDS and end with an error."
  (message "emacs.el: %s" (apply #'format words))
  (kill-emacs 1))

(defun wait-for (what condition)
  "Wait until CONDITION holds, or fail and name WHAT."
  (let ((tries 400))
    (while (and (> tries 0) (not (funcall condition)))
      (setq tries (1- tries))
      (accept-process-output nil 0.05)
      (sit-for 0.01))
    (when (zerop tries)
      (fail "waited in vain for %s; told: %S" what (gethash (buffer-name) told 'nothing)))))

(defvar told (make-hash-table :test #'equal)
  "The codes of the findings last published, by the name of the file.")
(cl-defmethod eglot-handle-notification :before
  (_server (_method (eql textDocument/publishDiagnostics)) &key uri diagnostics &allow-other-keys)
  (puthash (file-name-nondirectory uri)
           (mapcar (lambda (diagnostic) (plist-get diagnostic :code)) diagnostics)
           told))
(cl-defmethod eglot-handle-notification :before
  (_server (_method (eql window/showMessage)) &key message &allow-other-keys)
  (fail "the server complained: %s" message))

(defun wait-for-findings (file codes)
  "Wait until FILE has findings of just these CODES."
  (wait-for (format "%S in %s" codes file)
            (lambda () (equal codes (gethash file told 'nothing)))))

;; The mode and its hook start the server; as no window ever shows the buffer, its
;; hook for commands is run here.
(find-file "column.pgn")
(unless (eq major-mode 'gainsay-pgn-mode)
  (fail "the mode of a game file is %s" major-mode))
(run-hooks 'post-command-hook)
(wait-for "the server" #'eglot-current-server)
(wait-for-findings "column.pgn" '("missing-mate-sign"))

(goto-char (point-min))
(search-forward "Qf3")
(let ((hover (jsonrpc-request (eglot--current-server-or-lose) :textDocument/hover
                              (eglot--TextDocumentPositionParams))))
  (unless (string-match-p "4\\.Qf3" (plist-get (plist-get hover :contents) :value))
    (fail "no board at the move: %S" hover)))

;; The board in letters, and stepping along the game and back.
(defun shows (words)
  "Fail unless the board says WORDS."
  (let ((board (with-current-buffer "*gainsay board*" (buffer-string))))
    (unless (string-match-p (regexp-quote words) board)
      (fail "the board does not show %s: %s" words board))))
(goto-char (point-min))
(search-forward "3. Qh5")
(backward-char)
(gainsay-board)
(shows "After 3.Qh5")
(shows "5  : · : · p · :[Q]")
(gainsay-next-move)
(shows "After 3...Nf6")
(unless (looking-at "Nf6 (")
  (fail "the next move was missed"))
(execute-kbd-macro (kbd "C-c C-p"))
(call-interactively #'gainsay-previous-move)
;; Behind a comment in letters of more than one byte.
(shows "After 2...Nc6")
(unless (looking-at "Nc6 {")
  (fail "the previous move was missed"))
(gainsay-line-end)
(shows "Black is mated")

(unless (string-match-p "Ödön" (format "%S" (funcall imenu-create-index-function)))
  (fail "the outline lacks the game"))

(goto-char (point-min))
(search-forward "4. Qxf7")
(backward-char)
;; What is offered first is chosen, as with the key Return.
(cl-letf (((symbol-function 'completing-read)
           (lambda (_prompt _actions _if _must _initial _history default &rest _) default))
          ;; No pointing device asks.
          (last-nonmenu-event ?\r))
  (eglot-code-actions (- (point) 1) (point) nil t))
;; An idle Emacs would tell the server by itself; one without a terminal is never idle.
(eglot--signal-textDocument/didChange)
(wait-for-findings "column.pgn" nil)
(save-buffer)

;; A manuscript is checked when it is asked for, whatever mode it is in.
(find-file "chapter.md")
(gainsay-check)
(wait-for-findings "chapter.md" '("missing-mate-sign"))

(find-file "exercises.epd")
(unless (eq major-mode 'gainsay-epd-mode)
  (fail "the mode of positions is %s" major-mode))
(run-hooks 'post-command-hook)
(wait-for "the server for positions" #'eglot-current-server)
(wait-for-findings "exercises.epd" '("false-mate"))

;; Findings of a file that is not open, when they are asked for.
(write-region "1. e4 e5 2. Ke3 *\n" nil "shelved.pgn")
(setq gainsay-settings '(:closedFiles "pushed" :rules (:missing-roster-tag "off")))
(eglot-shutdown (eglot--current-server-or-lose))
(eglot-ensure)
(run-hooks 'post-command-hook)
(wait-for "the server with other settings" #'eglot-current-server)
(wait-for-findings "shelved.pgn" '("illegal-move"))
(unless (assoc (expand-file-name "shelved.pgn") flymake-list-only-diagnostics #'string=)
  (fail "the file that is not open is not listed: %S" (mapcar #'car flymake-list-only-diagnostics)))
(kill-emacs 0)
