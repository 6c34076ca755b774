;;; emacs.el --- See emacs.sh -*- lexical-binding: t -*-

(package-initialize)
(require 'gainsay)
(require 'flymake)
(setq gainsay-command (list (getenv "GAINSAY") "serve")
      eglot-sync-connect 20
      eglot-autoshutdown nil)

(defun wait-for (what condition)
  "Wait until CONDITION holds, or fail and name WHAT."
  (let ((tries 400))
    (while (and (> tries 0) (not (funcall condition)))
      (setq tries (1- tries))
      (accept-process-output nil 0.05)
      (sit-for 0.01))
    (when (zerop tries)
      (message "emacs.el: waited in vain for %s" what)
      (kill-emacs 1))))

(defvar told nil "The last published diagnostics.")
(cl-defmethod eglot-handle-notification :before
  (_server (_method (eql textDocument/publishDiagnostics)) &key diagnostics &allow-other-keys)
  (setq told (list (append diagnostics nil))))

(let ((file (car command-line-args-left)))
  (setq command-line-args-left nil)
  (find-file file)
  (gainsay-pgn-mode)
  (call-interactively #'eglot)
  (wait-for "the finding" (lambda () (and told (= 1 (length (car told))))))
  (unless (equal "missing-mate-sign" (plist-get (caar told) :code))
    (message "emacs.el: another finding: %S" told)
    (kill-emacs 1))
  (goto-char (point-min))
  (search-forward "Qxf7")
  (insert "#")
  (eglot--signal-textDocument/didChange)
  (wait-for "the finding to go" (lambda () (and told (null (car told)))))
  (kill-emacs 0))
