# Debian packages by purpose, and how to get those that are missing. Sourced by ./start and ./check.
BUILD_PACKAGES="gcc libc6-dev meson ninja-build pkg-config libsqlite3-dev libjansson-dev libexpat1-dev libmicrohttpd-dev libcairo2-dev libpango1.0-dev fonts-dejavu-core coinor-libcbc-dev libsodium-dev zlib1g-dev"
FONT_PACKAGES="fonts-noto-core fonts-droid-fallback" # 14 MB, letters that DejaVu lacks: only where asked for
TEST_PACKAGES="poppler-utils libcmocka-dev clang-14 lld-14 llvm-14 libclang-rt-14-dev wasi-libc libclang-rt-14-dev-wasm32 nodejs chromium openssl binutils sqlite3 jq python3-icalendar"
command -v npm >/dev/null || TEST_PACKAGES="$TEST_PACKAGES npm" # some packages of nodejs bring it along

need_packages() { # need_packages "NAMES" PURPOSE
    missing=
    for p in $1; do
        dpkg-query -W -f='${Status}' "$p" 2>/dev/null | grep -q 'install ok installed' || missing="$missing $p"
    done
    [ -z "$missing" ] && return 0
    echo "For $2 these Debian packages are missing and will be installed:$missing"
    root=
    if [ "$(id -u)" != 0 ]; then
        command -v sudo >/dev/null || { echo "This needs root or sudo; install them by hand and run again."; return 1; }
        root=sudo
    fi
    if [ -z "${CI:-}" ] && [ "${YES:-}" != 1 ] && [ -t 0 ]; then
        printf 'Install them now? [Y/n] '
        read -r answer
        case $answer in n* | N*) echo "Nothing was installed."; return 1 ;; esac
    fi
    $root apt-get update -qq && DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq --no-install-recommends $missing >/dev/null
}
