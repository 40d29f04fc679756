#!/bin/sh
# Set up the logbook and serve it. Everything it writes is under .venv/ and var/ (or DATA_DIR).
set -eu
cd "$(dirname "$0")/.."
. deploy/venv.sh

usage() {
    cat <<'TEXT'
sh deploy/run.sh            set up what is missing, then serve on 127.0.0.1:8000
sh deploy/run.sh --prepare  set up and stop there
sh deploy/run.sh --empty    start without the demo society; asks for the first keeper
HOST and PORT choose where it listens; deploy/env.example lists the other settings.
TEXT
}

prepare_only=no
empty=no
for word in "$@"; do
    case $word in
        --prepare) prepare_only=yes ;;
        --empty) empty=yes ;;
        -h | --help)
            usage
            exit 0
            ;;
        *)
            usage >&2
            exit 2
            ;;
    esac
done

host=${HOST:-127.0.0.1}
port=${PORT:-8000}
case $port in
    '' | *[!0-9]* | ??????*) right=no ;;
    *) if [ "$port" -ge 1 ] && [ "$port" -le 65535 ]; then right=yes; else right=no; fi ;;
esac
[ "$right" = yes ] || fail "PORT must be a number from 1 to 65535, not '$port'."
case $host in
    *:*) address="[$host]:$port" ;;
    *) address="$host:$port" ;;
esac
# The address at which this machine itself reaches the site.
case $host in
    0.0.0.0) local_address="127.0.0.1:$port" ;;
    ::) local_address="[::1]:$port" ;;
    *) local_address=$address ;;
esac
SITE_URL=${SITE_URL:-http://$local_address}
data=${DATA_DIR:-var}
mkdir -p "$data" 2>/dev/null ||
    fail "The folder $data cannot be made: the disk is full or it may not be written to."
data=$(cd "$data" && pwd)
DATA_DIR=$data
export SITE_URL DATA_DIR PYTHONUNBUFFERED=1
log=$data/setup.log

manage() { .venv/bin/python manage.py "$@"; }

# step WHAT-FAILED COMMAND ...: run it quietly; when it fails, say why in one sentence.
step() {
    what=$1
    shift
    "$@" >>"$log" 2>&1 </dev/null || fail "$(reason "$log" "$what")"
}

port_must_be_free() {
    "$python" - "$host" "$port" <<'PYTHON' || exit 1
import errno
import socket
import sys

host, port = sys.argv[1], int(sys.argv[2])
try:
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    family, kind, protocol, _, where = found[0]
    with socket.socket(family, kind, protocol) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind(where)
except socket.gaierror:
    sys.exit(f"HOST is {host}, which this machine does not know.")
except OSError as fault:
    if fault.errno == errno.EADDRINUSE:
        sys.exit(f"Port {port} is taken. Choose another: PORT={port + 1} sh deploy/run.sh")
    if fault.errno == errno.EACCES:
        sys.exit(f"Port {port} is kept for root. Choose another: PORT=8000 sh deploy/run.sh")
    sys.exit(f"The logbook cannot listen on {host}, port {port}: {fault.strerror}.")
PYTHON
}

# What has been prepared: the program's files, the database they were loaded into, and its file.
fingerprint() {
    .venv/bin/python - "$sqlite_file" <<'PYTHON'
import hashlib
import os
import sys

digest = hashlib.sha256(os.environ.get("DATABASE_URL", "").encode())
digest.update(str(os.stat(sys.argv[1]).st_ino if sys.argv[1] else "").encode())
for top in ("deploy", "society", "static", "templates"):
    for folder, below, names in os.walk(top):
        below[:] = sorted(name for name in below if name != "__pycache__")
        for name in sorted(names):
            path = os.path.join(folder, name)
            state = os.stat(path)
            digest.update(f"{path}\0{state.st_size}\0{state.st_mtime_ns}\0".encode())
print(digest.hexdigest())
PYTHON
}

# Answer whether a server's database holds no tables yet.
server_database_is_new() {
    manage shell --no-imports -c 'from django.db import connection
print("empty" if not connection.introspection.table_names() else "in use")' 2>>"$log" </dev/null
}

fill_new_database() {
    filled=yes
    step "The names could not be loaded" manage load_checklist
    if [ "$empty" = yes ]; then
        manage create_keeper || fail "No keeper was made, so nothing is kept; start again."
    else
        say "Building the demo society; this takes under a minute."
        step "The demo society could not be built" manage build_demo
    fi
}

# A new SQLite database is filled under another name and renamed when complete. A server's database
# cannot be renamed, so a note says that its first run is not finished.
prepare_database() {
    if [ -n "$sqlite_file" ]; then
        if [ -f "$sqlite_file" ]; then
            [ "$empty" = no ] || say "There is a database already; --empty changes nothing in it."
            step "The database could not be brought up to date" manage migrate --no-input
            return
        fi
        rm -f "$sqlite_file.new" "$sqlite_file.new-wal" "$sqlite_file.new-shm"
        kept_url=${DATABASE_URL-}
        export DATABASE_URL="sqlite:///$sqlite_file.new"
        step "The database could not be made" manage migrate --no-input
        fill_new_database
        for end in -wal ''; do
            [ ! -f "$sqlite_file.new$end" ] || mv "$sqlite_file.new$end" "$sqlite_file$end"
        done
        rm -f "$sqlite_file.new-shm"
        if [ -n "$kept_url" ]; then DATABASE_URL=$kept_url; else unset DATABASE_URL; fi
        return
    fi
    found=$(server_database_is_new) ||
        fail "The database that DATABASE_URL names did not answer." \
            "Is its server running and the address right? See $log"
    [ "$found" != empty ] || : >"$data/first-run-unfinished"
    step "The database could not be brought up to date" manage migrate --no-input
    [ ! -f "$data/first-run-unfinished" ] || fill_new_database
    rm -f "$data/first-run-unfinished"
}

prepare() {
    : >"$log" 2>/dev/null || fail "The folder $data cannot be written to: is the disk full?"
    need_space "$data" 50 "the logbook"
    make_venv
    umask 027
    case ${DATABASE_URL-} in
        '') sqlite_file=$data/logbook.sqlite3 ;;
        sqlite:///*) sqlite_file=${DATABASE_URL#sqlite:///} ;;
        *) sqlite_file= ;;
    esac
    filled=no
    prepare_database
    now=$(fingerprint)
    if [ "$now" != "$(cat "$data/prepared" 2>/dev/null)" ]; then
        step "The settings are not fit to serve with" manage check
        [ "$filled" = yes ] || step "The names could not be loaded" manage load_checklist
        step "The pages' files could not be put in place" manage collectstatic --no-input
        printf '%s\n' "$now" >"$data/prepared.new"
        mv "$data/prepared.new" "$data/prepared"
    fi
}

say_how_to_sign_in() {
    printf '\nThe logbook is at %s\n' "$SITE_URL"
    if [ -f "$data/demo_passwords.txt" ]; then
        say "Sign in as a member of the demo society (kept in $data/demo_passwords.txt):"
        cat "$data/demo_passwords.txt"
    fi
    case $SITE_URL in https://*) return ;; esac
    case $host in
        127.* | localhost | ::1) ;;
        *)
            say "Note: $host is reached without TLS, so on phones the position and the use" \
                "out of signal will not work there (deploy/INSTALL.md says how to add TLS)."
            case $host in 0.0.0.0 | ::)
                say "Others are answered only at the names in ALLOWED_HOSTS or SITE_URL." ;;
            esac
            ;;
    esac
}

web=
worker=
start_web() {
    .venv/bin/python -m gunicorn society.wsgi --bind "$address" --worker-class gthread --threads 8 \
        --timeout 120 --graceful-timeout 10 --no-control-socket --log-level warning </dev/null &
    web=$!
}
start_worker() {
    .venv/bin/python manage.py work </dev/null &
    worker=$!
}

running() { [ -n "$1" ] && kill -0 "$1" 2>/dev/null; }

stop_all() {
    trap '' INT TERM HUP
    for process in $web $worker; do kill -TERM "$process" 2>/dev/null || :; done
    tries=0
    while { running "$web" || running "$worker"; } && [ "$tries" -lt 150 ]; do
        tries=$((tries + 1))
        sleep 0.1
    done
    for process in $web $worker; do kill -KILL "$process" 2>/dev/null || :; done
    wait 2>/dev/null || :
}

# Wait until the site answers; an answer of any kind will do.
wait_for_answer() {
    .venv/bin/python - "http://$local_address/alive/" "$web" <<'PYTHON'
import http.client
import os
import sys
import time
from urllib.parse import urlsplit

address = urlsplit(sys.argv[1])
for _ in range(300):
    try:
        os.kill(int(sys.argv[2]), 0)
        asked = http.client.HTTPConnection(address.hostname, address.port, timeout=30)
        asked.request("GET", address.path)
        asked.getresponse()
        sys.exit(0)
    except ProcessLookupError:
        break
    except OSError:
        time.sleep(0.1)
sys.exit(1)
PYTHON
}

pause() {
    sleep "$1" &
    wait $! || :
}

serve() {
    trap 'stop_all; exit 0' INT TERM HUP
    start_web
    # The worker begins when the pages are there, so that it does not hold them up.
    if wait_for_answer; then
        say_how_to_sign_in
        say "Ctrl-C stops it."
    fi
    start_worker
    rest=1
    started=$(date +%s)
    while running "$web"; do
        if ! running "$worker"; then
            [ $(($(date +%s) - started)) -lt 60 ] || rest=1
            say "The background worker stopped; starting it again in $rest s." >&2
            pause "$rest"
            rest=$((rest < 30 ? rest * 2 : 60))
            start_worker
            started=$(date +%s)
        fi
        pause 1
    done
    stop_all
    fail "The web process stopped; the lines above say why."
}

find_python
[ "$prepare_only" = yes ] || port_must_be_free
lock_setup "$data/setup.lock"
prepare
unlock_setup
if [ "$prepare_only" = yes ]; then
    say "The logbook is set up. Start it: sh deploy/run.sh"
    exit 0
fi
serve
