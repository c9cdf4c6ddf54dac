# Packs the files of a folder into one file of gzipped bytes, and writes the table of where each one lies.
#   cmake -DDIST=web/dist -DOUT=folder -P cmake/page.cmake
# With no index.html there, the table is empty.
file(MAKE_DIRECTORY ${OUT})
set(table "")
set(count 0)
set(offset 0)
file(WRITE ${OUT}/page.bin.new "")
if(EXISTS ${DIST}/index.html)
  file(GLOB_RECURSE files RELATIVE ${DIST} ${DIST}/*)
  list(SORT files)
  foreach(file IN LISTS files)
    execute_process(COMMAND gzip -9 -n -c ${DIST}/${file} OUTPUT_FILE ${OUT}/one.gz COMMAND_ERROR_IS_FATAL ANY)
    execute_process(COMMAND cat ${OUT}/page.bin.new ${OUT}/one.gz OUTPUT_FILE ${OUT}/page.bin.more COMMAND_ERROR_IS_FATAL ANY)
    file(RENAME ${OUT}/page.bin.more ${OUT}/page.bin.new)
    file(SIZE ${OUT}/one.gz size)
    file(SHA256 ${DIST}/${file} hash)
    string(SUBSTRING ${hash} 0 16 tag)
    string(APPEND table "    {\"/${file}\", \"${tag}\", {fairlead_page_bytes + ${offset}, ${size}}},\n")
    math(EXPR offset "${offset} + ${size}")
    math(EXPR count "${count} + 1")
  endforeach()
endif()
file(APPEND ${OUT}/page.bin.new "\n")  # never empty
file(RENAME ${OUT}/page.bin.new ${OUT}/page.bin)
file(WRITE ${OUT}/page_bytes.S
  ".section .rodata\n.global fairlead_page_bytes\nfairlead_page_bytes:\n.incbin \"${OUT}/page.bin\"\n"
  ".section .note.GNU-stack,\"\",%progbits\n")
if(count EQUAL 0)
  set(body "std::span<const PageFile> PageFiles() { return {}; }\n")
else()
  set(body "extern \"C\" const std::uint8_t fairlead_page_bytes[];\nnamespace {\nconst PageFile kFiles[] = {\n${table}};\n}  // namespace\nstd::span<const PageFile> PageFiles() { return kFiles; }\n")
endif()
file(WRITE ${OUT}/page_table.cc "#include \"front/server/page_files.h\"\n\nnamespace fairlead {\n${body}}  // namespace fairlead\n")
