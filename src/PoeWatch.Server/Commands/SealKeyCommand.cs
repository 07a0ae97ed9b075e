using System.CommandLine;
using System.Security.Cryptography;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch seal-key</c>: makes the pair of keys that roots and exports are signed and checked with.</summary>
internal static class SealKeyCommand
{
    public static Command Create()
    {
        var output = new Option<string>("--out") { Description = "Name of the files: NAME.pem (private, for evidence.keyFile) and NAME.pub.pem (public, for the auditor).", Required = true };
        var command = new Command("seal-key", "Make a pair of keys (ECDSA P-256) for signing evidence.") { output };
        command.SetAction(async (parsed, stop) =>
        {
            var name = parsed.GetRequiredValue(output);
            using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
            try
            {
                await WriteAsync(name + ".pem", key.ExportPkcs8PrivateKeyPem(), isSecret: true, stop);
                await WriteAsync(name + ".pub.pem", key.ExportSubjectPublicKeyInfoPem(), isSecret: false, stop);
            }
            catch (Exception failed) when (failed is IOException or UnauthorizedAccessException or ArgumentException)
            {
                await Console.Error.WriteLineAsync($"--out: '{name}' cannot be made: {failed.Message} Give a name that does not exist, in a folder that this user may write.");
                return ExitCodes.NotUsable;
            }

            Console.WriteLine($"{name}.pem: private key, for evidence.keyFile. Let only the service read it, and keep a copy away from this machine.");
            Console.WriteLine($"{name}.pub.pem: public key, for whoever checks exports ('poewatch verify').");
            Console.WriteLine($"Key id: {EvidenceSigner.KeyIdOf(key)}");
            return ExitCodes.Good;
        });
        return command;
    }

    private static async Task WriteAsync(string path, string pem, bool isSecret, CancellationToken stop)
    {
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (isSecret && !OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        await using var writer = new StreamWriter(path, options);
        await writer.WriteAsync((pem + "\n").AsMemory(), stop);
    }
}
