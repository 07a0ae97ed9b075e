using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>Finds the secrets that a design only names. Asked again at each poll, so that a rotation needs no restart.</summary>
public interface ICredentialSource
{
    /// <summary>The credentials of that name, or null with a message for people that says where they were looked for.</summary>
    SnmpCredentials? Find(string name, out string problem);
}
