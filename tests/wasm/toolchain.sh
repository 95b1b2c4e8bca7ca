#!/bin/sh
# Prints the settings with which cargo builds for wasm32-unknown-unknown: nothing if rustup has or can add the target;
# otherwise Debian's compiler and the standard library's source of the same version.
#   eval "$(tests/wasm/toolchain.sh)" && cargo build $WASM_ARGS --target wasm32-unknown-unknown …
set -eu
target=wasm32-unknown-unknown
say() { echo "wasm toolchain: $*" >&2; }
has_std() { dir=$(rustc --print target-libdir --target "$target" 2>/dev/null) && ls "$dir"/libstd-*.rlib >/dev/null 2>&1; }
if [ "${WASM_ROUTE:-auto}" != debian ]; then
    if has_std; then say "std for $target is installed"; echo "export WASM_ARGS="; exit 0; fi
    if command -v rustup >/dev/null && timeout 300 rustup target add "$target" >&2 && has_std; then
        say "rustup added $target"; echo "export WASM_ARGS="; exit 0
    fi
fi
if ! [ -x /usr/bin/wasm-ld-22 ] || ! [ -e /usr/lib/rustlib/src/rust/library/Cargo.lock ]; then
    root=; [ "$(id -u)" = 0 ] || root=sudo
    { $root apt-get update -q && $root apt-get install -y -q --no-install-recommends rustc-web rust-web-src lld-22; } >&2
fi
say "Debian $(/usr/bin/rustc --version), building std"
echo "export RUSTC_BOOTSTRAP=1 RUSTC=/usr/bin/rustc CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=wasm-ld-22 WASM_ARGS='-Zbuild-std=std,panic_abort'"
