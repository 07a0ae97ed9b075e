using BenchmarkDotNet.Running;
using PoeWatch.Benchmarks.SwitchPolls;

if (args is ["switch-polls", .. var rest])
{
    return await SwitchPollCommand.InvokeAsync(rest);
}

BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
return 0;
