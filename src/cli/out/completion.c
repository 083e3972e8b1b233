/* SPDX-License-Identifier: MIT */
/* Completion: scripts for bash, zsh and fish, made from the commands' tables. Values may hold
 * blanks: each script keeps them whole. */
#include "cli/out/help.h"

#include <metamer/filter.h>
#include <metamer/rgb.h>
#include <metamer/solve.h>

#include <stdlib.h>
#include <string.h>

/* Options whose values are names of the library and no choice of their own. */
struct completion_names {
    mtm_filters *filters; /* the delivered library; NULL where it is not found */
};

static const char *name_at(const struct completion_names *names, const struct option_spec *option,
                           size_t i)
{
    if (option->type == VALUE_CHOICE)
        return choice_name(&option->choices, i);
    if (option->type != VALUE_TEXT)
        return NULL;
    if (strcmp(option->name, "space") == 0)
        return i < mtm_rgb_space_count() ? mtm_rgb_space_at(i)->name : NULL;
    if (strcmp(option->name, "filter") == 0 && names->filters != NULL &&
        i < mtm_filters_count(names->filters))
        return mtm_filters_at(names->filters, i)->name;
    return NULL;
}

/* In single quotes, for all three shells; fish alone takes \' inside them. */
static void put_quoted(const char *text, bool fish, FILE *out)
{
    (void)fputc('\'', out);
    for (; *text != '\0'; text++) {
        if (*text == '\'')
            (void)fputs(fish ? "\\'" : "'\\''", out);
        else
            (void)fputc(*text, out);
    }
    (void)fputc('\'', out);
}

static void put_words(const struct completion_names *names, const struct option_spec *option,
                      FILE *out)
{
    for (size_t i = 0; name_at(names, option, i) != NULL; i++) {
        (void)fputs(i > 0 ? " " : "", out);
        put_quoted(name_at(names, option, i), false, out);
    }
}

static void put_commands(FILE *out)
{
    for (const struct command *const *command = commands; *command != NULL; command++)
        (void)fprintf(out, "%s%s", command == commands ? "" : " ", (*command)->name);
}

/* The cases of bash and zsh: values of an option, then the options of a command. */
static void put_values(const struct completion_names *names, FILE *out)
{
    for (const struct command *const *command = commands; *command != NULL; command++) {
        const struct option_spec *option = NULL;
        for (size_t i = 0; (option = command_option(*command, i)) != NULL; i++) {
            if (name_at(names, option, 0) == NULL)
                continue;
            (void)fprintf(out, "    %s/--%s) choices=(", (*command)->name, option->name);
            put_words(names, option, out);
            (void)fprintf(out, ") ;;\n");
        }
    }
}

static void put_options(FILE *out)
{
    for (const struct command *const *command = commands; *command != NULL; command++) {
        (void)fprintf(out, "      %s) choices=(--help", (*command)->name);
        const struct option_spec *option = NULL;
        for (size_t i = 0; (option = command_option(*command, i)) != NULL; i++)
            (void)fprintf(out, " --%s", option->name);
        (void)fprintf(out, ") ;;\n");
    }
}

static void put_bash(const struct completion_names *names, FILE *out)
{
    (void)fputs(
        "# bash completion for metamer; made from the commands' own tables\n"
        "_metamer() {\n"
        "  local word=\"${COMP_WORDS[COMP_CWORD]}\" before=\"${COMP_WORDS[COMP_CWORD-1]}\"\n"
        "  local command=\"${COMP_WORDS[1]}\" IFS=$'\\n' one choices=()\n"
        "  COMPREPLY=()\n"
        "  if [ \"$COMP_CWORD\" -eq 1 ] || [ \"$before\" = help ]; then\n"
        "    choices=(",
        out);
    put_commands(out);
    (void)fputs(")\n  else\n    case \"$command/$before\" in\n", out);
    put_values(names, out);
    (void)fputs("    esac\n"
                "    if [ ${#choices[@]} -eq 0 ] && [ \"${word:0:1}\" = - ]; then\n"
                "      case \"$command\" in\n",
                out);
    put_options(out);
    (void)fputs("      esac\n    fi\n  fi\n"
                "  for one in \"${choices[@]}\"; do\n"
                "    [[ $one == \"$word\"* ]] && COMPREPLY+=(\"$one\")\n"
                "  done\n"
                "  if [ ${#COMPREPLY[@]} -eq 0 ]; then\n"
                "    mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n  fi\n}\n"
                "complete -o filenames -F _metamer metamer\n",
                out);
}

static void put_zsh(const struct completion_names *names, FILE *out)
{
    (void)fputs("#compdef metamer\n"
                "# zsh completion for metamer; made from the commands' own tables\n"
                "_metamer() {\n"
                "  local command=$words[2] before=$words[CURRENT-1] word=$words[CURRENT]\n"
                "  local -a choices\n"
                "  if [[ $CURRENT -eq 2 || $before == help ]]; then\n    choices=(",
                out);
    put_commands(out);
    (void)fputs(")\n  else\n    case \"$command/$before\" in\n", out);
    put_values(names, out);
    (void)fputs("    esac\n"
                "    if [[ ${#choices} -eq 0 && $word == -* ]]; then\n"
                "      case \"$command\" in\n",
                out);
    put_options(out);
    (void)fputs("      esac\n    fi\n  fi\n"
                "  compadd -a choices || _files\n}\n"
                "if [ \"$funcstack[1]\" = _metamer ]; then _metamer \"$@\"; else compdef _metamer "
                "metamer; fi\n",
                out);
}

static void put_fish_option(const struct completion_names *names, const char *command,
                            const struct option_spec *option, FILE *out)
{
    bool named = name_at(names, option, 0) != NULL;

    (void)fprintf(out, "complete -c metamer -n '__fish_seen_subcommand_from %s' -l %s", command,
                  option->name);
    if (named) {
        (void)fputs(option->type == VALUE_CHOICE ? " -x -a \"" : " -r -a \"", out);
        put_words(names, option, out);
        (void)fputc('"', out);
    } else if (option->type != VALUE_NONE) {
        (void)fputs(" -r", out);
    }
    (void)fputs(" -d ", out);
    put_quoted(option->help, true, out);
    (void)fputc('\n', out);
}

static void put_fish(const struct completion_names *names, FILE *out)
{
    (void)fputs("# fish completion for metamer; made from the commands' own tables\n", out);
    for (const struct command *const *command = commands; *command != NULL; command++) {
        (void)fprintf(out, "complete -c metamer -n __fish_use_subcommand -f -a %s -d ",
                      (*command)->name);
        put_quoted((*command)->summary, true, out);
        (void)fputc('\n', out);
        const struct option_spec *option = NULL;
        for (size_t i = 0; (option = command_option(*command, i)) != NULL; i++)
            put_fish_option(names, (*command)->name, option, out);
    }
    (void)fputs("complete -c metamer -n '__fish_seen_subcommand_from help' -f -a '", out);
    put_commands(out);
    (void)fputs("'\n", out);
}

const struct shell completion_shells[] = {
    {"bash", put_bash},
    {"zsh", put_zsh},
    {"fish", put_fish},
    {0},
};

void help_completion(const struct shell *shell, FILE *out)
{
    struct completion_names names = {NULL};

    if (mtm_filters_load(NULL, &names.filters, NULL) != MTM_OK)
        names.filters = NULL;
    shell->put(&names, out);
    mtm_filters_free(names.filters);
}
