#!/usr/bin/env bash
# Makes the fuzzer's first inputs from the files of this repository: seeds/TARGET/ and seeds/words.
set -euo pipefail
cd "$(dirname "$0")"
root=../..
rm -rf seeds
mkdir -p seeds/{lengths,album,supplies,style,grammar,bags,pieces,command}

put() { # TARGET: standard input becomes a seed of it
    cat > "$(mktemp "seeds/$1/XXXXXXXX")"
}

for album in $root/tests/{fits,conflicts,errors}/*/album.toml; do
    put album < "$album"
done
for supplies in $root/models/supplies/*.toml; do
    put supplies < "$supplies"
done
for album in $root/models/albums/*.toml; do
    { cat "$album"; printf '\n#####\n'; cat $root/models/supplies/*.toml; } | put album
done
for style in $root/models/styles/*.toml $root/tests/*/*/style.toml $root/tests/*/*/*-style.toml; do
    [ -f "$style" ] || continue
    put style < "$style"
    # Its rules and conditions, and their parts, one a line.
    { grep -oE "'[^']+'" "$style" || true; } | tr -d "'" | split -l 12 - "$(mktemp -u "seeds/grammar/XXXXXXXX")"
done
for list in $root/models/pieces/*.csv; do
    put pieces < "$list"
done
# Lengths of all kinds, as the albums, the README and the topics of help write them.
grep -rhoE '"[^"]*[0-9][^"]*(in|mm|cm|%|lb|gsm|g/m2)[^"]*"' $root/models $root/tests/fits $root/README.md $root/src/cli/help |
    tr -d '"' | sort -u | awk 'length($0) < 60' | while read -r text; do
    printf '%s' "$text" | put lengths
done
printf 'in\nname,width,gusset,height,bottom,pocket_edge,pack,price\nbrown,5 1/8,3 1/8,10 5/8,block,2 in,50,12.50\nwhite,"130 mm",,200 mm,,,,\n' | put bags
printf '\nname;width;height;tolerance;unit\na;4;6;1/16;in\nb;110;160;1;mm\n' | put bags
# Command lines of the README and of the topics of help: a verb, then its options one a line.
grep -hoE '^\$ tuckwright .*' $root/README.md $root/src/cli/help/*.md $root/tests/cli/*.* 2>/dev/null | sort -u | sed 's/^\$ tuckwright //' |
    while read -r verb rest; do
    {
        printf '%s\n' "$verb"
        printf '%s\n' "$rest" | { grep -oE -- '--[a-z-]+( "[^"]*"| [^-" ][^ ]*)?' || true; } | sed 's/^--//; s/"//g'
        printf '\nname,width,height,count,turn,value\ntag,2 in,4 in,12,yes,5\nmat,5 1/8 in,7 3/8 in,3,no,9\n'
    } | put command
done
# What is drawn from bytes begins with any bytes, enough for a large album.
for target in program repairs nest orders whole explain; do
    mkdir -p "seeds/$target"
    for _ in $(seq 12); do
        head -c 400 /dev/urandom | put "$target"
    done
done
# Words for all targets: keys, headings, and what lengths are made of.
{
    grep -rhoE '^ *\[+[a-z_.]+\]+|^ *[a-z_]+ =' $root/models $root/tests/fits $root/tests/errors --include='*.toml' | tr -d ' '
    grep -hoE '"[a-z_]+(\.[a-z_]+)*"' $root/src/vocabulary/mod.rs $root/src/supplies/shapes.rs $root/src/album/shapes.rs | tr -d '"'
    printf '%s\n' ' in' ' mm' ' cm' ' x ' ' ± ' ' to ' '1/16 in' '4 3/8 in' '111 mm' '2:3' '33 1/3 %' ' lb cover' \
        ' gsm' 'sum(leaf in leaves: ' 'given(' 'free(' '{left}' '{right}' '{sum}' ' <= ' ' >= ' 'largest ' 'keep ' \
        '#####' 'mouth: 2 of 4 x 6 in' 'yes' 'no' 'none' 'any' 'true' '#'
} | sort -u | sed 's/\\/\\\\/g; s/"/\\"/g; s/±/\\xC2\\xB1/g; s/.*/"&"/' > seeds/words
for target in seeds/*/; do
    printf '%s %s\n' "$(ls "$target" | wc -l)" "$target"
done
