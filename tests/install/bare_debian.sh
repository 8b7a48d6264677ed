#!/usr/bin/env bash
# The .deb installed and run on a bare Debian: a debootstrap folder with nothing but what every
# Debian has. By hand, for it takes root, the network and some minutes:
#
#   cmake --preset use && cmake --build --preset release && (cd build/release && cpack -G DEB)
#   tests/install/bare_debian.sh build/release/stripwright_*_amd64.deb [FOLDER]
set -euo pipefail

package="$1"
folder="${2:-$(mktemp -d)}"
if [[ ! -x "$folder/usr/bin/dpkg" ]]; then
  debootstrap --variant=minbase bookworm "$folder" >/dev/null
fi
cp "$package" "$folder/tmp/stripwright.deb"

mount -t proc proc "$folder/proc"
trap 'umount "$folder/proc"' EXIT
in_there() { chroot "$folder" /usr/bin/env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 "$@"; }
in_there dpkg -i /tmp/stripwright.deb
in_there stripwright --version
in_there sh -c 'cd /root && stripwright taper list && stripwright setup yarrow --shop saltmarsh-lane \
  --machine "steel form" > tables.txt && head -n 12 tables.txt && ls -l output/yarrow/steel-form'
in_there bash -c '. /usr/share/bash-completion/completions/stripwright'
in_there dpkg -r stripwright
in_there sh -c '! command -v stripwright'
printf 'installed, run and removed in %s\n' "$folder"
