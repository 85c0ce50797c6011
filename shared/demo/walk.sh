#!/usr/bin/env bash
# From a passing record to a signature, and what becomes of it when somebody edits the record afterwards.
#
# Everything happens in a folder of its own that is removed at the end. FILLWARD may name the program to run.
# Besides the usual tools of a GNU system it needs python3, jq, perl, openssl and cc.
set -euo pipefail
umask 077
for tool in python3 jq perl openssl cc; do
  command -v "$tool" > /dev/null || { echo "this walk needs $tool, which is not here" >&2; exit 1; }
done
cd "$(dirname "$0")/../.."
root=$PWD
if [ -z "${FILLWARD:-}" ]; then
  cargo build --release --locked --quiet
  FILLWARD=${CARGO_TARGET_DIR:-target}/release/fillward
fi
FILLWARD=$(realpath "$FILLWARD")
# The program of a release may ask no library of the system, and then takes its clock from nobody; the one for work on it does.
CLOCKED=$FILLWARD
if ! ldd "$FILLWARD" > /dev/null 2>&1; then
  cargo build --locked --quiet
  CLOCKED=$(realpath "${CARGO_TARGET_DIR:-target}/debug/fillward")
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# The account of this walk remembers what it has seen in a folder of its own.
export XDG_STATE_HOME=$work/state

# The shop lies where it is the middle of the morning now, so that what was inspected today still is.
zone=$(python3 "$root/shared/demo/move_to_today.py")

# A clock that stands wrong, as the whole program sees it: the system's own answer, moved by $SHIFT seconds on its way. The
# program has no switch for that; its machine has.
cat > "$work/clock.c" <<'C'
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <time.h>
int clock_gettime(clockid_t clock, struct timespec *at) {
  int (*real)(clockid_t, struct timespec *) = (int (*)(clockid_t, struct timespec *))dlsym(RTLD_NEXT, "clock_gettime");
  int done = real(clock, at);
  if (done == 0 && clock == CLOCK_REALTIME) at->tv_sec += atol(getenv("SHIFT"));
  return done;
}
C
cc -shared -fPIC -o "$work/clock.so" "$work/clock.c" -ldl
clock_moved() { # seconds, then the command
  local seconds=$1
  shift
  SHIFT=$seconds LD_PRELOAD=$work/clock.so "$@"
}

say() { printf '\n== %s\n' "$*"; }
must() { # expected exit code, then the command
  local due=$1 found=0
  shift
  "$@" || found=$?
  [ "$found" = "$due" ] || { echo "expected exit $due, found $found: $*" >&2; exit 1; }
}

say "A passing job, its instants moved from the demo morning to this one"
python3 "$root/shared/demo/move_to_today.py" "$root/shared/demo/jobs/pass-loader-bias-used.yaml" "$zone" > "$work/job.yaml"
cd "$work"
must 0 "$FILLWARD" check job.yaml --zone "$zone"

# An instant as the shop's clock shows it; the tool writes +00:00 where the file wants Z.
shop_time() { TZ=$zone date -d "$1" +%Y-%m-%dT%H:%M:%S%:z | sed 's/+00:00$/Z/'; }

say "Keys: one for the owner of the shop, one for its supervisor, one for its safety officer"
printf 'heron gravel window brass\n' > owner.pass
printf 'lantern copper meadow rain\n' > supervisor.pass
printf 'walnut harbour slate finch\n' > safety.pass
must 0 "$FILLWARD" key new --name "Marit Osei" --role owner --passphrase-file owner.pass
must 0 "$FILLWARD" key new --name "Odile Varga" --role supervisor --passphrase-file supervisor.pass
must 0 "$FILLWARD" key new --name "Tamsin Brandt" --role safety-officer --passphrase-file safety.pass

say "A new shop: its owner makes the trust file and adds people; the safety officer approves the base pack with her own signature"
owner=(--trust trust.json --by marit-osei-owner.key.pem --passphrase-file owner.pass --yes)
must 0 "$FILLWARD" trust new --shop "Hollow Tarn depot" --zone "$zone" --name "Marit Osei" --key marit-osei-owner.pub.pem "${owner[@]}"
must 0 "$FILLWARD" trust add "Odile Varga" --role supervisor --key odile-varga-supervisor.pub.pem "${owner[@]}"
must 0 "$FILLWARD" trust add "Tamsin Brandt" --role safety-officer --key tamsin-brandt-safety-officer.pub.pem "${owner[@]}"
must 3 "$FILLWARD" trust approve tyre-fill --trust trust.json --key marit-osei-owner.key.pem --passphrase-file owner.pass --yes
must 0 "$FILLWARD" trust approve tyre-fill --trust trust.json --key tamsin-brandt-safety-officer.key.pem --passphrase-file safety.pass --yes
must 0 "$FILLWARD" trust sign --out trust.json --key marit-osei-owner.key.pem --passphrase-file owner.pass --yes
trust=(--trust trust.json --owner marit-osei-owner.pub.pem)
# The words as they stand on the papers that the owner hands out.
paper_of_key() { "$FILLWARD" key show "$1" | sed -n 's/^ *words *//p'; }
paper_of_file() { "$FILLWARD" trust show --trust trust.json | sed -n 's/^words of this version *//p'; }

say "Nothing starts by an owner whom nobody has accepted: the words of her key and of her file are typed off her paper"
must 3 "$FILLWARD" sign job.yaml --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes
must 2 "$FILLWARD" trust accept "${trust[@]}" --owner-words "$(paper_of_file)" --trust-words "$(paper_of_file)"
must 0 "$FILLWARD" trust accept "${trust[@]}" --owner-words "$(paper_of_key marit-osei-owner.pub.pem)" --trust-words "$(paper_of_file)"

say "A supervisor does not sign by a trust file that nobody knows the owner of"
must 2 "$FILLWARD" sign job.yaml --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass --trust trust.json --yes

say "Sign, and verify: the fill may start"
must 0 "$FILLWARD" sign job.yaml --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes
must 0 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"

say "The same without fillward"
sh "$root/tests/checklist/stock-tools.sh" job.checklist.json odile-varga-supervisor.pub.pem

say "Somebody edits one reading of the record: verify says why not, exit 1"
sed 's/target: {pressure: [0-9.]* psi/target: {pressure: 58 psi/' job.yaml > edited.yaml
cmp -s job.yaml edited.yaml && { echo "the edit changed nothing" >&2; exit 1; }
must 1 "$FILLWARD" verify job.checklist.json --record edited.yaml "${trust[@]}"

say "An older trust file put back in its place, or in another folder: it is noticed"
cp trust.json older.json
must 0 "$FILLWARD" trust renew "${owner[@]}"
must 0 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
cp trust.json newest.json
cp older.json trust.json
must 3 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
must 3 "$FILLWARD" trust renew --until "$(shop_time '+100 days')" "${owner[@]}"
mkdir elsewhere && cp older.json elsewhere/trust.json
must 3 "$FILLWARD" verify job.checklist.json --record job.yaml --trust elsewhere/trust.json --owner marit-osei-owner.pub.pem
cp newest.json trust.json

say "Looking back says what could have been, and starts nothing"
must 1 "$FILLWARD" verify job.checklist.json --record job.yaml --at "$(shop_time now)" "${trust[@]}"

say "Too much solvent stands in the bay: a HOLD. The supervisor asks for a permit and signs that; it permits nothing yet"
mkdir aside
sed 's/solvent_on_hand: 2 gal/solvent_on_hand: 11 gal/' job.yaml > aside/much.yaml
sed 's/solvent_on_hand: 2 gal/solvent_on_hand: 40 gal/' job.yaml > aside/more.yaml
odile=(--key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes)
tamsin=(--key tamsin-brandt-safety-officer.key.pem --passphrase-file safety.pass "${trust[@]}" --yes)
must 1 "$FILLWARD" sign aside/much.yaml "${odile[@]}"
must 0 "$FILLWARD" permit ask aside/much.yaml --as "Odile Varga" --rule solvent-excess --reason "the store is being painted until noon" \
  --until "$(shop_time '+2 hours')" --out solvent.permit.json "${odile[@]}"
must 3 "$FILLWARD" sign aside/much.yaml --permit solvent.permit.json "${odile[@]}"

say "Nobody gives it to themselves; the safety officer is shown what it sets aside and who asked, and gives it. It covers no more"
must 3 "$FILLWARD" permit give solvent.permit.json --record aside/much.yaml "${odile[@]}"
must 3 "$FILLWARD" permit give solvent.permit.json --record aside/more.yaml "${tamsin[@]}"
must 0 "$FILLWARD" permit give solvent.permit.json --record aside/much.yaml "${tamsin[@]}"
must 0 "$FILLWARD" sign aside/much.yaml --permit solvent.permit.json "${odile[@]}"
must 0 "$FILLWARD" verify aside/much.checklist.json --record aside/much.yaml "${trust[@]}"
must 3 "$FILLWARD" sign aside/more.yaml --permit solvent.permit.json "${odile[@]}"

say "The same job as a short record with the shop file, both moved to today: checked, signed, verified"
mkdir short
python3 "$root/shared/demo/move_to_today.py" "$root/shared/demo/shop.yaml" "$zone" > short/shop.yaml
python3 "$root/shared/demo/move_to_today.py" "$root/shared/demo/short/pass-loader-bias-used.yaml" "$zone" > short/job.yaml
must 0 "$FILLWARD" check short/job.yaml --shop short/shop.yaml
must 0 "$FILLWARD" sign short/job.yaml --shop short/shop.yaml "${odile[@]}"
of_short=(short/job.checklist.json --record short/job.yaml "${trust[@]}")
must 0 "$FILLWARD" verify "${of_short[@]}" --shop short/shop.yaml

say "Nobody starts by a shop file that was not compared, nor after an entry that was used has changed"
must 1 "$FILLWARD" verify "${of_short[@]}"
sed 's/mark: C-1, kind: cage, rating: 240 psi/mark: C-1, kind: cage, rating: 235 psi/' short/shop.yaml > changed-shop.yaml
cmp -s short/shop.yaml changed-shop.yaml && { echo "the edit changed nothing" >&2; exit 1; }
must 1 "$FILLWARD" verify "${of_short[@]}" --shop changed-shop.yaml

say "A rehearsal can be signed, and never lets a fill start"
must 1 "$FILLWARD" sign job.yaml --at "$(shop_time now)" --out rehearsal.checklist.json \
  --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes
must 1 "$FILLWARD" verify rehearsal.checklist.json --record job.yaml "${trust[@]}"

say "One hold point after another: before air, then air goes in and the tyre is seated, then the fill. All of it lies in one folder"
mkdir chain
# Before air nobody has seen the tyre seated.
sed '/^    seated: /d' job.yaml > chain/job.yaml
must 0 "$FILLWARD" sign chain/job.yaml --hold-point before-air --out chain/air.checklist.json "${odile[@]}"
sleep 2
air=$(shop_time now)
sleep 2
sed -E "s/(seated: \{at: )[^,}]*/\1$(shop_time now)/; s/^    target: \{/    acts: {air: $air}\n&/" job.yaml > chain/job.yaml
grep -q "acts: {air: $air}" chain/job.yaml || { echo "the record does not say when air went in" >&2; exit 1; }
sleep 1
must 0 "$FILLWARD" sign chain/job.yaml --before chain --out chain/fill.checklist.json "${odile[@]}"
must 1 "$FILLWARD" verify chain --record chain/job.yaml "${trust[@]}" > chain.txt
grep 'The fill may start .*fill.checklist.json' chain.txt
grep 'the record has gone on since before air' chain.txt
grep '2 files: 1 may start · 1 in order' chain.txt

say "Air went in before anybody had signed for it: nothing follows that"
sed "s/acts: {air: [^}]*}/acts: {air: $(shop_time '-30 minutes')}/" chain/job.yaml > chain-late.yaml
must 3 "$FILLWARD" sign chain-late.yaml --before chain "${odile[@]}"

say "A HOLD is kept beside the record that was put right since: it is of an earlier state of it, and what was put right is named"
mkdir held && cp aside/much.yaml held/job.yaml
must 1 "$FILLWARD" sign held/job.yaml --hold "${odile[@]}"
cp job.yaml held/job.yaml
sleep 1
must 0 "$FILLWARD" sign held/job.yaml "${odile[@]}"
must 1 "$FILLWARD" verify held --record held/job.yaml "${trust[@]}" > held.txt
grep 'it is of an earlier state of this record' held.txt
grep 'solvent_on_hand.*11 gal.*then 2 gal' held.txt

say "Ten jobs of the shop, passed and held, before air and before the fill, with copies that were made of them: fifty files in one table"
mkdir shelf records
of_demo() { python3 "$root/shared/demo/move_to_today.py" "$root/shared/demo/jobs/$1.yaml" "$zone"; }
for name in pass-aerial-platform-flotation pass-baggage-tug-bolt-together pass-compactor-one-stamp pass-grader-by-the-load-table; do
  of_demo "$name" > "records/$name.yaml"
  must 0 "$FILLWARD" sign "records/$name.yaml" --out "shelf/$name.checklist.json" "${odile[@]}" > signed.txt
done
for name in pass-baler-cart-tube-in-tubeless pass-sheet-that-says-little; do
  of_demo "$name" | sed '/^    seated: /d' > "records/$name.yaml"
  must 0 "$FILLWARD" sign "records/$name.yaml" --hold-point before-air --out "shelf/$name.checklist.json" "${odile[@]}" > signed.txt
done
for name in hold-cold-material hold-cracked-wheel hold-several-faults hold-no-target; do
  of_demo "$name" > "records/$name.yaml"
  must 1 "$FILLWARD" sign "records/$name.yaml" --hold --out "shelf/$name.checklist.json" "${odile[@]}" > signed.txt
done
for number in $(seq 11 48); do
  set -- shelf/pass-*.json shelf/hold-*.json
  shift $((number % 10))
  cp "$1" "shelf/$number.checklist.json"
done
sed 's/HT-0320/HT-0999/' shelf/pass-aerial-platform-flotation.checklist.json > shelf/49.checklist.json
printf "a letter, and no checklist\n" > shelf/50.checklist.json
COLUMNS=80 must 3 "$FILLWARD" verify shelf --record records --format table "${trust[@]}" > table.txt
grep -A 2 'NOT TO BE RELIED ON · 2 files' table.txt
[ "$(grep -c '^  shelf/' table.txt)" -le 50 ] || { echo "more than a line for each file" >&2; exit 1; }
[ "$("$FILLWARD" verify shelf --record records --format csv "${trust[@]}" | grep -c '^"shelf/')" = 50 ] || { echo "not a line for each file" >&2; exit 1; }
grep '50 files: 6 may start · 4 in order · 2 not to be relied on · 38 copies of these' table.txt
grep 'held by tyre-fill/wheel-cracked: 2' table.txt

say "Who asks before the pump is not answered by the checklist of another hold point; and one file as a page"
must 1 "$FILLWARD" verify shelf/pass-sheet-that-says-little.checklist.json --record records --hold-point before-fill "${trust[@]}"
must 0 "$FILLWARD" show shelf/pass-compactor-one-stamp.checklist.json "${trust[@]}" > page.txt
for due in 'SHOWN BEFORE IT WAS SIGNED' 'Odile Varga' 'WHAT WAS CHECKED' 'stop at'; do grep -m 1 "$due" page.txt; done
[ "$(wc -l < page.txt)" -le 100 ] || { echo "the first page is none" >&2; exit 1; }
must 0 "$FILLWARD" show --full shelf/pass-compactor-one-stamp.checklist.json "${trust[@]}" > page.txt
for due in 'The wheel is cracked' 'Source, '; do grep -m 1 "$due" page.txt; done

say "The next day it has lapsed. The clock set back to today would make it hold again: that is a bar, and nobody signs by it"
must 1 clock_moved 86400 "$CLOCKED" verify job.checklist.json --record job.yaml "${trust[@]}"
must 1 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
must 3 "$FILLWARD" sign job.yaml --out back.checklist.json "${odile[@]}"

say "Here it was the other clock that stood wrong, a day ahead: an owner signs that the clocks count anew from now"
must 3 "$FILLWARD" trust renew "${owner[@]}"
must 0 "$FILLWARD" trust renew --clock-anew "${owner[@]}"
must 0 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"

say "A second owner: from now on two sign, and a version waits beside the one in force until both have"
printf 'anvil orchard pebble tide\n' > second.pass
must 0 "$FILLWARD" key new --name "Ansel Prewitt" --role owner --passphrase-file second.pass
must 0 "$FILLWARD" trust add "Ansel Prewitt" --role owner --key ansel-prewitt-owner.pub.pem --owners-needed 2 "${owner[@]}"
[ -e trust.next.json ] || { echo "the version does not wait" >&2; exit 1; }
second_signs() { must 0 "$FILLWARD" trust sign --out trust.json --key ansel-prewitt-owner.key.pem --passphrase-file second.pass --yes; }
second_signs
must 0 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"

say "A draft of a version, signed by the owners before a revocation was put into it, is put back: of one version the first counts"
cp trust.json before.json
must 0 "$FILLWARD" trust renew "${owner[@]}"
second_signs
cp trust.json in-force.json
cp before.json trust.json
must 0 env XDG_STATE_HOME="$work/elsewhere-state" "$FILLWARD" trust renew --until "$(shop_time '+90 days')" "${owner[@]}"
env XDG_STATE_HOME="$work/elsewhere-state" "$FILLWARD" trust sign --out trust.json --key ansel-prewitt-owner.key.pem --passphrase-file second.pass --yes
must 3 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
must 3 "$FILLWARD" sign job.yaml --out draft.checklist.json "${odile[@]}"
cp in-force.json trust.json

say "One of two owners makes a version that asks for her alone: it never comes in force"
must 0 "$FILLWARD" trust renew --owners-needed 1 "${owner[@]}"
cp trust.json both.json && cp trust.next.json trust.json
must 3 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
cp both.json trust.json && rm trust.next.json

say "The shop gets another name: what was signed under the old one stays as good as it was"
must 0 "$FILLWARD" trust rename "Hollow Tarn works" "${owner[@]}"
second_signs
must 0 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}" > renamed.txt
grep 'of “Hollow Tarn depot”, by its trust file' renamed.txt

say "A leaver gives the key back: what it signed stays in order, and it signs nothing more"
printf 'saddle copper lark winter\n' > leaver.pass
must 0 "$FILLWARD" key new --name "Wren Castellane" --role supervisor --passphrase-file leaver.pass
must 0 "$FILLWARD" trust add "Wren Castellane" --role supervisor --key wren-castellane-supervisor.pub.pem "${owner[@]}"
second_signs
wren=(--key wren-castellane-supervisor.key.pem --passphrase-file leaver.pass)
must 0 "$FILLWARD" countersign job.checklist.json --record job.yaml "${wren[@]}" "${trust[@]}" --yes
must 0 "$FILLWARD" sign job.yaml --out wren.checklist.json "${wren[@]}" "${trust[@]}" --yes
sleep 2
must 0 "$FILLWARD" trust retire "Wren Castellane" "${owner[@]}"
second_signs
must 1 "$FILLWARD" verify wren.checklist.json --record job.yaml "${trust[@]}"
must 3 "$FILLWARD" sign job.yaml --out more.checklist.json "${wren[@]}" "${trust[@]}" --yes

say "The version from before the leaver, put back: the leaver signs nothing by it"
cp trust.json in-force.json && cp both.json trust.json
must 3 "$FILLWARD" sign job.yaml --out more.checklist.json "${wren[@]}" "${trust[@]}" --yes
cp in-force.json trust.json

say "A theft: what the stolen key signed is in order where another person signed the same before, and not by its own word"
must 0 "$FILLWARD" trust revoke "Odile Varga" --from "$(shop_time now)" --why "the laptop was stolen" "${owner[@]}"
second_signs
must 1 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
must 3 "$FILLWARD" verify aside/much.checklist.json --record aside/much.yaml "${trust[@]}"
must 3 "$FILLWARD" sign job.yaml --out more.checklist.json --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes

say "Which files did that key sign, or a permit in them? Forged or not, all are named"
mkdir touched
cp job.checklist.json aside/much.checklist.json wren.checklist.json touched/
must 3 "$FILLWARD" verify touched --record job.yaml --signed-by "Odile Varga" "${trust[@]}" > touched.txt
grep 'Signed with that key: 2 of 3 files' touched.txt

say "What is not to be relied on is shown as that"
must 3 "$FILLWARD" show aside/much.checklist.json "${trust[@]}"

say "The safety officer's key is stolen, and the thief approves the pack with it. It is revoked from before that all the same, and who signs sees what that undoes"
stolen=$(shop_time now)
sleep 2
must 0 "$FILLWARD" trust approve tyre-fill --optional --trust trust.json --key tamsin-brandt-safety-officer.key.pem --passphrase-file safety.pass --yes
must 0 "$FILLWARD" trust sign --out trust.json --key marit-osei-owner.key.pem --passphrase-file owner.pass --yes
second_signs
must 0 "$FILLWARD" trust revoke "Tamsin Brandt" --from "$stolen" --why "the van was broken into" "${owner[@]}" > undone.txt
grep 'is no longer approved' undone.txt
second_signs
