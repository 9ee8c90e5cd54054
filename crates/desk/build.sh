#!/bin/sh
# Builds the page into page/dist: a folder of static files for any host, and page/velatura-desk.html, one file that opens from
# a disk.
#   ./build.sh                    with Debian's compiler: apt-get install rustc-web cargo-web rust-web-src lld-19
#   TOOLCHAIN=rustup ./build.sh   with a rustup toolchain: rustup target add wasm32-unknown-unknown
# Both need Node 20 and npm.
set -eu
cd "$(dirname "$0")"
ROOT=$(cd ../.. && pwd)
TARGET=wasm32-unknown-unknown
BUILT=$ROOT/target/page

# No path of the machine that compiles goes into the page.
US=$(printf '\037')
FLAGS="-Ctarget-feature=+simd128$US--remap-path-prefix=$ROOT=/velatura"
for crates in "${CARGO_HOME:-$HOME/.cargo}"/registry/src/*; do
    FLAGS="$FLAGS$US--remap-path-prefix=$crates=/crates"
done

if [ "${TOOLCHAIN:-debian}" = rustup ]; then
    BROWSER_CARGO=cargo
    STD=""
else
    BROWSER_CARGO=/usr/bin/cargo
    # Debian has the standard library's source for this target, not the compiled library.
    STD="-Zbuild-std=std,panic_abort -Zbuild-std-features="
    FLAGS="$FLAGS$US-Clinker-flavor=wasm-ld$US--remap-path-prefix=/usr/lib/rustlib/src/rust=/rust"
fi

for_browsers() {
    if [ -n "$STD" ]; then
        export RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=wasm-ld-19
    fi
    # shellcheck disable=SC2086 # STD is several words
    CARGO_ENCODED_RUSTFLAGS="$FLAGS" $BROWSER_CARGO build --locked --profile page --target $TARGET $STD \
        --target-dir "$BUILT" -p velatura-desk --lib
}

(for_browsers)
rm -rf page/dist
mkdir -p page/dist
(cd "$ROOT" && cargo run --locked --quiet -p velatura-to-javascript -- "$BUILT/$TARGET/page/velatura_desk.wasm" crates/desk/page/dist)
(cd page && npm ci --silent --no-audit --no-fund && npx tsc && node build.mjs)
