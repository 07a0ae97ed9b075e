using System.CommandLine;
using PoeWatch.Api.Access;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch key NAME</c>: draws a key for the API and prints it once, with the hash for the settings.</summary>
internal static class KeyCommand
{
    public static Command Create()
    {
        var name = new Argument<string>("name") { Description = "Whose key it is: 1 to 64 of a-z, 0-9, '-' and '_'." };
        var role = new Option<string>("--role") { Description = "reader, operator or designer.", DefaultValueFactory = _ => "reader" };
        role.AcceptOnlyFromAmong("reader", "operator", "designer");
        var command = new Command("key", "Draw a key for the API. It is shown once; the settings keep only its hash.") { name, role };
        command.SetAction(parsed =>
        {
            var holder = parsed.GetRequiredValue(name);
            if (!HashedKey.IsName(holder))
            {
                Console.Error.WriteLine($"'{holder}' cannot name a key. Use 1 to 64 of a-z, 0-9, '-' and '_'.");
                return ExitCodes.BadInput;
            }

            var (key, hash) = HashedKey.Draw(holder);
            Console.WriteLine($"Key, shown once: {key}");
            Console.WriteLine("For the settings, under listen.keys:");
            Console.WriteLine($$"""{ "name": "{{holder}}", "role": "{{parsed.GetValue(role)}}", "hash": "{{hash}}" }""");
            return ExitCodes.Good;
        });
        return command;
    }
}
