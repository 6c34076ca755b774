" Game files: Neovim does not know them in all of its versions.
autocmd BufNewFile,BufRead *.pgn setfiletype pgn
autocmd BufNewFile,BufRead *.epd,*.fen setfiletype epd
