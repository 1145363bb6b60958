#!/bin/sh
# build_wasm.sh CLANG core|program OUTPUT DEPFILE ROOT SOURCES...: C files to one WebAssembly file.
set -e
clang=$1 kind=$2 output=$3 depfile=$4 root=$5
shift 5
objects=$output.objects
mkdir -p "$objects"
: >"$depfile"
list=
for source in "$@"; do
    object=$objects/$(echo "$source" | tr '/.' '__').o
    "$clang" --target=wasm32-wasi -std=c17 -O3 -msimd128 -ffp-contract=off -fno-math-errno -D_POSIX_C_SOURCE=200809L \
        -Wall -Werror -I"$root" -I"$root/include" -MD -MF "$object.d" -MT "$output" -c "$source" -o "$object"
    cat "$object.d" >>"$depfile"
    list="$list $object"
done
if [ "$kind" = core ]; then
    # Every public function of the core is exported; main is not needed.
    exports=$(llvm-nm-14 --defined-only --extern-only $list | awk '$2 == "T" && $3 ~ /^tufa_/ {print "-Wl,--export=" $3}')
    "$clang" --target=wasm32-wasi -mexec-model=reactor -Wl,--gc-sections -Wl,--strip-all $exports $list -lm -o "$output"
else
    "$clang" --target=wasm32-wasi -Wl,-z,stack-size=8388608 $list -lm -o "$output"
fi
