#!/bin/sh
# Verifies a signature of a checklist, a permit or a trust file with nothing but jq, base64, perl and openssl 3.
#
#   stock-tools.sh FILE PUBLIC-KEY.pem [SIGNATURE-NUMBER, from 0] [checklist, permit or trust] [ROLE]
#
# Exit 0 if the only signature is in order, 4 if one of several is and the others are still to be looked at, 3 if not.
#
# The commands are those of the page for auditors, schemas/CHECKLIST.md, taken from it and run. Whose key it is, and whether
# that person may sign, the shop's trust file says.
set -eu
page=$(dirname "$0")/../../schemas/CHECKLIST.md
commands=$(awk '/^```sh$/ { on = 1; next } /^```$/ && on { exit } on && !/^verify_signature job/ { print }' "$page")
file=$(realpath "$1") key=$(realpath "$2") number=${3:-0} kind=${4:-checklist} role=${5:-supervisor}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
set +e
eval "$commands"
verify_signature "$file" "$kind" "$key" "$role" "$number" || exit 3
count=$(jq '.signatures | length' "$file")
if [ "$count" -gt 1 ]; then
  echo "ONE OF $count SIGNATURES LOOKED AT: one that is not in order makes the file doubtful; look at each, by its signer's key"
  exit 4
fi
