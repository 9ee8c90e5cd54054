#!/bin/sh
# Compiles stages and puts each component beside its source.
#   ./build.sh [NAME …]                    with Debian's compiler: apt-get install rustc-web cargo-web rust-web-src lld-19
#   TOOLCHAIN=rustup ./build.sh [NAME …]   with a rustup toolchain: rustup target add wasm32-unknown-unknown
set -eu
cd "$(dirname "$0")"
STAGES=${*:-dust triads}
TARGET=wasm32-unknown-unknown

# No path of the machine that compiles goes into the files.
US=$(printf '\037')
# Every call clears the stack: a small one does.
FLAGS="-Ctarget-feature=+simd128$US-Clink-arg=-zstack-size=65536"
for crates in "${CARGO_HOME:-$HOME/.cargo}"/registry/src/*; do
    FLAGS="$FLAGS$US--remap-path-prefix=$crates=/crates"
done
FLAGS="$FLAGS$US--remap-path-prefix=$PWD=/stages"

if [ "${TOOLCHAIN:-debian}" = rustup ]; then
    CARGO=cargo
    STD=""
    FLAGS="$FLAGS$US--remap-path-prefix=$(rustc --print sysroot)=/rust"
else
    CARGO=/usr/bin/cargo
    export RUSTC=/usr/bin/rustc
    # Debian has the standard library's source for this target, not the compiled library.
    export RUSTC_BOOTSTRAP=1 CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=wasm-ld-19
    STD="-Zbuild-std=std,panic_abort -Zbuild-std-features="
    FLAGS="$FLAGS$US-Clinker-flavor=wasm-ld$US--remap-path-prefix=/usr/lib/rustlib/src/rust=/rust"
fi

# Not --locked: a stage that was added stands in no lock file yet. Without the flags: this one runs here.
$CARGO build --release -p componentise
for stage in $STAGES; do
    # shellcheck disable=SC2086 # STD is several words
    CARGO_ENCODED_RUSTFLAGS="$FLAGS" $CARGO build --release --target $TARGET $STD -p "$stage"
    target/release/componentise "target/$TARGET/release/$stage.wasm" "$stage/$stage.wasm"
    echo "$stage/$stage.wasm: $(wc -c < "$stage/$stage.wasm") bytes"
done
