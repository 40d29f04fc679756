#!/bin/sh
# Run every check of the project. On Debian, root gets the missing programs installed; anybody else
# is told what is missing. What it starts is thrown away at the end, also on Ctrl-C.
#   sh deploy/test.sh            everything
#   sh deploy/test.sh -k words   only tests whose names hold the words (any option of pytest)
set -eu
cd "$(dirname "$0")/.."
. deploy/venv.sh

scratch=$(mktemp -d "${TMPDIR:-/tmp}/logbook-test.XXXXXX")
chmod 711 "$scratch"
mkdir "$scratch/tmp" "$scratch/data"
log=$scratch/setup.log
: >"$log"
running=
redis=
postgres_folder=
apt_traces=

# The stage that runs has a process group of its own, so that whatever it started goes with it.
clean_up() {
    status=$?
    trap '' INT TERM HUP
    trap - EXIT
    if [ -n "$running" ]; then
        kill -TERM "-$running" 2>/dev/null || :
        tries=0
        while kill -0 "-$running" 2>/dev/null && [ "$tries" -lt 50 ]; do
            tries=$((tries + 1))
            sleep 0.1
        done
        kill -KILL "-$running" 2>/dev/null || :
    fi
    [ -z "$redis" ] || kill -TERM "$redis" 2>/dev/null || :
    [ -z "$postgres_folder" ] ||
        unprivileged "$postgres/pg_ctl" -D "$postgres_folder" -m immediate -w stop >/dev/null 2>&1 || :
    remove_apt_traces
    wait 2>/dev/null || :
    rm -rf "$scratch"
    exit "$status"
}
trap clean_up EXIT
trap 'exit 130' INT
trap 'exit 143' TERM HUP

# --- What the tests need ---------------------------------------------------------------------

find_postgres() {
    for folder in $(command -v pg_ctl | xargs -r readlink -f | xargs -r dirname) \
        $(printf '%s\n' /usr/lib/postgresql/*/bin | sort -rV); do
        if [ -x "$folder/initdb" ] && [ -x "$folder/postgres" ] && [ -x "$folder/pg_ctl" ]; then
            postgres=$folder
            return
        fi
    done
    return 1
}
find_redis() { command -v redis-server >/dev/null; }
find_chromium() {
    for name in "${CHROMIUM:-chromium}" chromium-browser google-chrome google-chrome-stable; do
        command -v "$name" >/dev/null && return
    done
    return 1
}
missing_packages() {
    find_postgres || printf 'postgresql '
    find_redis || printf 'redis-server '
    find_chromium || printf 'chromium fonts-dejavu-extra '
}

# Debian's packages of servers start them on their standard ports. A policy forbids it for as long
# as the installation takes, and no database cluster is made.
forbid_servers() {
    apt_traces=yes
    if [ -e /usr/sbin/policy-rc.d ]; then
        mv /usr/sbin/policy-rc.d /usr/sbin/policy-rc.d.before-logbook-tests
    fi
    printf '#!/bin/sh\nexit 101\n' >/usr/sbin/policy-rc.d
    chmod 755 /usr/sbin/policy-rc.d
    mkdir -p /etc/postgresql-common/createcluster.d
    echo 'create_main_cluster = false' >/etc/postgresql-common/createcluster.d/logbook-tests.conf
}
remove_apt_traces() {
    [ -n "$apt_traces" ] || return 0
    rm -f /usr/sbin/policy-rc.d /etc/postgresql-common/createcluster.d/logbook-tests.conf
    if [ -e /usr/sbin/policy-rc.d.before-logbook-tests ]; then
        mv /usr/sbin/policy-rc.d.before-logbook-tests /usr/sbin/policy-rc.d
    fi
    apt_traces=
}

need_programs() {
    missing=$(missing_packages)
    [ -n "$missing" ] || return 0
    if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null; then
        fail "The tests need programs that are missing here. On Debian: sudo apt install $missing"
    fi
    lock_setup /var/lock/logbook-tests.lock
    missing=$(missing_packages)
    if [ -n "$missing" ]; then
        say "Installing for the tests: $missing"
        forbid_servers
        # The names are words to be split.
        # shellcheck disable=SC2086
        apt_install $missing || fail "$(reason "$log" "These could not be installed: $missing")" \
            "$(tail -n 3 "$log")"
        remove_apt_traces
    fi
    unlock_setup
    missing=$(missing_packages)
    [ -z "$missing" ] || fail "Installed, but still not found: $missing"
}

need_packages() {
    mkdir -p var
    lock_setup var/setup.lock
    make_venv
    if ! cmp -s tests/requirements.txt .venv/installed-tests.txt; then
        say "Setting up the packages that the tests need."
        need_space . 700 "the tests' set-up"
        pip_install .venv -r requirements.txt -r tests/requirements.txt ||
            fail "$(reason "$log" "The tests' packages could not be installed")" "$(tail -n 3 "$log")"
        cp tests/requirements.txt .venv/installed-tests.txt
    fi
    unlock_setup
}

# --- Throwaway servers -----------------------------------------------------------------------

# PostgreSQL refuses to run as root.
unprivileged() {
    if [ "$(id -u)" != 0 ]; then
        "$@"
        return
    fi
    (cd / && exec setpriv --reuid="$server_user" --regid="$(id -g "$server_user")" --clear-groups "$@")
}

free_port() {
    "$python" -c 'import socket
with socket.socket() as s:
    s.bind(("127.0.0.1", 0))
    print(s.getsockname()[1])'
}

start_postgres() {
    server_user=nobody
    ! id postgres >/dev/null 2>&1 || server_user=postgres
    mkdir -m 700 "$scratch/pg"
    [ "$(id -u)" != 0 ] || chown "$server_user" "$scratch/pg"
    unprivileged "$postgres/initdb" -D "$scratch/pg/db" -U logbook -A trust -E UTF8 --locale=C.UTF-8 \
        --no-sync >>"$log" 2>&1 || fail "PostgreSQL's folder could not be made: $(tail -n 2 "$log")"
    for _ in 1 2 3; do
        port=$(free_port)
        if unprivileged "$postgres/pg_ctl" -D "$scratch/pg/db" -w -s -l "$scratch/pg/server.log" \
            -o "-h 127.0.0.1 -p $port -k $scratch/pg -c fsync=off -c full_page_writes=off" \
            -o "-c synchronous_commit=off -c max_connections=60" start >>"$log" 2>&1; then
            postgres_folder=$scratch/pg/db
            TEST_POSTGRES_URL=postgres://logbook@127.0.0.1:$port/postgres
            return
        fi
    done
    fail "PostgreSQL did not start: $(tail -n 3 "$scratch/pg/server.log")"
}

start_redis() {
    mkdir "$scratch/redis"
    for _ in 1 2 3; do
        port=$(free_port)
        redis-server --bind 127.0.0.1 --port "$port" --dir "$scratch/redis" --save '' \
            --appendonly no --daemonize no >"$scratch/redis/log" 2>&1 &
        redis=$!
        TEST_REDIS_URL=redis://127.0.0.1:$port/0
        if .venv/bin/python - "$TEST_REDIS_URL" "$redis" <<'PYTHON'; then
import os
import sys
import time

import redis

for _ in range(100):
    os.kill(int(sys.argv[2]), 0)
    try:
        sys.exit(not redis.Redis.from_url(sys.argv[1]).ping())
    except redis.ConnectionError:
        time.sleep(0.1)
sys.exit(1)
PYTHON
            return
        fi
    done
    fail "Redis did not start: $(tail -n 3 "$scratch/redis/log")"
}

# --- Stages ----------------------------------------------------------------------------------

table=$scratch/table
failed=no
tests_found=no

# stage NAME COMMAND ...: run it in a process group of its own, time it, note how it went.
stage() {
    name=$1
    shift
    printf '\n== %s\n' "$name"
    began=$(date +%s)
    (exec setsid "$@") </dev/null &
    running=$!
    outcome=0
    wait "$running" || outcome=$?
    running=
    # pytest ends with 5 when it found no test: a fault, unless words chose among them.
    if [ "$outcome" = 5 ] && [ "$choosing" = yes ]; then
        word="none chosen"
    elif [ "$outcome" = 0 ]; then
        word=passed
        tests_found=yes
    else
        word="FAILED ($outcome)"
        failed=yes
        tests_found=yes
    fi
    minutes=$(awk -v s="$(($(date +%s) - began))" 'BEGIN { printf "%.1f", s / 60 }')
    say "== $name: $word, $minutes min"
    printf '%-28s %6s min  %s\n' "$name" "$minutes" "$word" >>"$table"
}

# tests NAME DATABASE_URL PYTEST-OPTION ...
tests() {
    called=$1
    database=$2
    shift 2
    stage "$called" env DATABASE_URL="$database" .venv/bin/python -m pytest -q \
        --basetemp="$scratch/tmp/pytest" "$@"
}

lint() {
    # The variables are the inner shell's.
    # shellcheck disable=SC2016
    stage "lint and types" sh -c '
        bad=0
        check() { echo "-- $*"; .venv/bin/python "$@" || bad=1; }
        check -m ruff check .
        check -m ruff format --check .
        check -m djlint --check templates
        check -m djlint --quiet --lint templates
        check -m mypy
        check -c "from importlinter.cli import lint_imports_command; lint_imports_command()"
        check manage.py makemigrations --check --dry-run
        SITE_URL=https://logbook.example.org check manage.py check --deploy --fail-level WARNING
        exit $bad'
}

find_python
need_programs
find_postgres
need_packages
start_postgres
start_redis

# Only what is set here reaches the settings.
# shellcheck disable=SC2013
for name in $(sed -n 's/^#\{0,1\} *\([A-Z][A-Z0-9_]*\)=.*/\1/p' deploy/env.example); do
    unset "$name" "${name}_FILE"
done
sqlite=sqlite:///$scratch/data/logbook.sqlite3
export TEST_POSTGRES_URL TEST_REDIS_URL
export DATA_DIR="$scratch/data" TMPDIR="$scratch/tmp" HYPOTHESIS_PROFILE=ci
export HYPOTHESIS_STORAGE_DIRECTORY="$scratch/tmp/hypothesis" PYTHONDONTWRITEBYTECODE=1
choosing=no
[ $# = 0 ] || choosing=yes

not_elsewhere="not browser and not redis and not faults"
apart="--ignore=tests/science --ignore=tests/published --ignore=tests/bench"
[ "$choosing" = yes ] || lint
# Science must need no database: this one does not answer.
tests "science" "postgres://nobody@127.0.0.1:1/none" -n 2 tests/science tests/published "$@"
# The names of options are words to be split.
# shellcheck disable=SC2086
tests "on SQLite" "$sqlite" -n 2 -m "$not_elsewhere" $apart --ignore=tests/contract tests "$@"
# shellcheck disable=SC2086
tests "on PostgreSQL" "$TEST_POSTGRES_URL" -n 2 -m "$not_elsewhere" $apart tests "$@"
tests "contracts" "$sqlite" -m "$not_elsewhere" tests/contract "$@"
tests "jobs through Redis" "$TEST_POSTGRES_URL" -m redis tests "$@"
tests "browser" "$sqlite" -n 2 -m browser tests/browser "$@"
tests "main walk on PostgreSQL" "$TEST_POSTGRES_URL" -m main_walk tests/browser "$@"
if grep -rqE 'mark\.faults' tests --include='test_*.py'; then
    tests "faults" "$sqlite" -m faults tests "$@"
fi

printf '\nMinutes for each stage:\n'
cat "$table"
[ "$tests_found" = yes ] || fail "No test has such a name."
[ "$failed" = no ] || fail "Something failed; see above."
say "All passed."
