# Puts lists of words into the program, sorted, one a line:
#   cmake -DTRADE=trade_words.txt -DFULL=british-english -DSMALL=british-english-small -DOUT=folder -P cmake/words.cmake
# plain: small words of the small dictionary. names: what the full one has with a capital, in small letters. trade: our own list.
file(MAKE_DIRECTORY ${OUT})
set(sorted "LC_ALL=C sort -u")
execute_process(COMMAND sh -c "LC_ALL=C grep -E '^[a-z]+$' '${SMALL}' | ${sorted} > '${OUT}/plain.txt' &&
  LC_ALL=C grep -E '^[A-Z][a-z]+$' '${FULL}' | tr A-Z a-z | ${sorted} > '${OUT}/names.txt' &&
  grep -v '^#' '${TRADE}' | tr ' ' '\\n' | grep . | ${sorted} > '${OUT}/trade.txt'" COMMAND_ERROR_IS_FATAL ANY)
set(text ".section .rodata\n")
foreach(list plain names trade)
  string(APPEND text ".global fairlead_words_${list}, fairlead_words_${list}_end\nfairlead_words_${list}:\n.incbin \"${OUT}/${list}.txt\"\nfairlead_words_${list}_end:\n")
endforeach()
file(WRITE ${OUT}/words_bytes.S "${text}.section .note.GNU-stack,\"\",%progbits\n")
