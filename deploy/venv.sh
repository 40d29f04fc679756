# Read by run.sh and test.sh, not run: the Python, the virtual environment, and plain words for faults.
# The reader sets `log`, the file that takes what programs say.
# shellcheck shell=sh disable=SC2154

say() { printf '%s\n' "$*"; }
fail() {
    printf '%s\n' "$*" >&2
    exit 1
}

# Set `python` to a Python new enough, or fail with the cure.
find_python() {
    python=
    older=
    for name in ${PYTHON:-python3 python3.13 python3.12 python3.11}; do
        path=$(command -v "$name") || continue
        version=$("$path" -c 'import sys; print("%d.%d" % sys.version_info[:2])' 2>/dev/null) || continue
        if "$path" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
            python=$path
            return
        fi
        older="$older${older:+, }$version"
    done
    [ -z "$older" ] || fail "The logbook needs Python 3.11 or newer; this machine has $older." \
        "Install a newer one, or name it: PYTHON=/path/to/python3.11 sh $0"
    fail "The logbook needs Python 3.11 or newer, and none was found." \
        "On Debian: apt install python3 python3-venv"
}

# Debian leaves out what makes virtual environments. Root may put it in; anybody else is told how.
need_venv_module() {
    "$python" -c 'import ensurepip, venv' 2>/dev/null && return
    package="python$("$python" -c 'import sys; print("%d.%d" % sys.version_info[:2])')-venv"
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        say "Installing $package, which Debian keeps apart from Python."
        apt_install "$package" || fail "$(reason "$log" "$package could not be installed")"
        "$python" -c 'import ensurepip, venv' 2>/dev/null && return
    fi
    fail "This Python cannot make virtual environments. On Debian: sudo apt install $package"
}

apt_install() {
    {
        DEBIAN_FRONTEND=noninteractive apt-get -q -y -o DPkg::Lock::Timeout=600 update &&
            DEBIAN_FRONTEND=noninteractive apt-get -q -y -o DPkg::Lock::Timeout=600 \
                --no-install-recommends install "$@"
    } >>"$log" 2>&1 </dev/null
}

# reason LOG WHAT-FAILED: one sentence that says why, as far as the log shows it.
reason() {
    if grep -q 'Settings cannot be used' "$1"; then
        sed -n '/Fault: Settings cannot be used/,$ { s/.*Fault: //; p; }' "$1"
    elif grep -qiE 'no space left|disk is full|not enough free space|database or disk is full' "$1"; then
        say "$2: the disk is full. Free some space and start again."
    elif grep -qiE 'name resolution|NewConnectionError|ConnectTimeout|ReadTimeout|unreachable|ProxyError|Could not resolve|Connection (refused|reset|aborted|timed out)|SSLError|Failed to fetch' "$1"; then
        say "$2: the network could not be reached. Start again when there is one."
    elif grep -qi 'DO NOT MATCH THE HASHES' "$1"; then
        say "$2: a package that came is not the one this project names, so nothing was installed." \
            "See $1"
    elif grep -qi 'No matching distribution' "$1"; then
        say "$2: there is no ready-made package for this machine and this Python. See $1"
    elif grep -qiE 'permission denied|read-only file system' "$1"; then
        say "$2: a folder may not be written to. See $1"
    else
        say "$2. See $1, which ends: $(grep -v '^[[:space:]]*$' "$1" | tail -n 1)"
    fi
}

# One set-up at a time: the lock goes with file descriptor 9, so a killed start leaves none behind.
lock_setup() {
    (: >>"$1") 2>/dev/null || fail "The folder $(dirname "$1") cannot be written to by you," \
        "or its disk is full."
    exec 9>>"$1"
    "$python" -c 'import fcntl; fcntl.flock(9, fcntl.LOCK_EX | fcntl.LOCK_NB)' 2>/dev/null ||
        {
            say "Waiting for another start to finish its set-up."
            "$python" -c 'import fcntl; fcntl.flock(9, fcntl.LOCK_EX)'
        }
}
unlock_setup() { exec 9>&-; }

# need_space FOLDER MEGABYTES WHAT-FOR
need_space() {
    free_mb=$(df -Pk "$1" 2>/dev/null | awk 'NR == 2 { print int($4 / 1024) }')
    [ "${free_mb:-$2}" -ge "$2" ] || fail "The disk is nearly full: $3 needs $2 MB," \
        "and $1 has $free_mb MB. Free some space and start again."
}

pip_install() {
    folder=$1
    shift
    "$folder/bin/python" -m pip --disable-pip-version-check --no-input install --quiet \
        --retries 2 --require-hashes --only-binary=:all: "$@" >>"$log" 2>&1 </dev/null
}

# venv_failed WHAT-FAILED: take the unfinished one away and say why.
venv_failed() {
    rm -rf .venv.new
    fail "$(reason "$log" "$1")"
}

# Make .venv anew when requirements.txt is not what was installed. It is built beside and renamed
# when complete, so that a start cut short leaves nothing that looks finished.
make_venv() {
    rm -rf .venv.old .venv.new
    if [ -x .venv/bin/python ] && cmp -s requirements.txt .venv/installed.txt &&
        .venv/bin/python -c '' 2>/dev/null; then
        return
    fi
    need_venv_module
    need_space . 700 "the set-up"
    say "Setting up the logbook's packages; this takes about a minute."
    "$python" -m venv .venv.new >>"$log" 2>&1 ||
        venv_failed "The virtual environment could not be made"
    pip_install .venv.new -r requirements.txt ||
        venv_failed "The packages could not be installed"
    # The programs in bin/ begin with the folder's name, which is about to change.
    .venv.new/bin/python - >>"$log" 2>&1 <<'PYTHON' ||
from pathlib import Path

for file in Path(".venv.new/bin").iterdir():
    if file.is_file() and not file.is_symlink():
        before = file.read_bytes()
        after = before.replace(b"/.venv.new", b"/.venv")
        if after != before and b"\0" not in before:
            file.write_bytes(after)
PYTHON
        venv_failed "The virtual environment could not be finished"
    cp requirements.txt .venv.new/installed.txt 2>>"$log" ||
        venv_failed "The virtual environment could not be finished"
    [ ! -d .venv ] || mv .venv .venv.old
    mv .venv.new .venv
    rm -rf .venv.old
}
